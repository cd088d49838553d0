// Package night turns an inbox of clips into an outbox of finished lessons,
// overnight and with nobody at the keyboard.
//
// # The idea
//
//	inbox/S-014/before.mp4 ...      outbox/S-014/before-1/  results of a clip
//	inbox/S-014/lesson.yaml                      reel.mp4   and what belongs to it
//	                                             result.json
//	                                outbox/morning.html, .txt, .json
//	                                outbox/.work/           lock, drafts, results of clips
//
// Every result is a folder that is complete or absent. Its name is found from a
// key, the fingerprint of all that went into it: bytes of the clips, settings,
// versions of the steps, what people wrote; consent decides whether there is a
// result, not what it is. To carry out the night means to ensure that a folder
// exists for each key, first of every clip, then of every lesson; a second run
// therefore does nothing, and a run after a broken one does what is left. A folder
// is built in .work, flushed to disk, then renamed.
//
// Nothing stops the night but an interruption and a full disk: a clip that is
// refused, a sheet that cannot be read and a reel that fails each become a line
// on the morning page, and the rest is done.
//
// # What it refuses
//
// To write to the inbox; to run while another process works on the outbox; to
// replace a folder in the outbox that it did not make; to measure the clips of a
// student whose cards say anything of consent, but not that it is given to
// measuring and in force. What a person adds to a lesson's folder in the outbox
// stays there when the lesson is made again.
package night
