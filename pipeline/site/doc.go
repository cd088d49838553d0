// Package site makes what students and the academy open: the page of a lesson,
// the page of a student, and the lists of the academy. Where the pages stand,
// who may see them and for how long is the matter of package shelf below it.
//
// # The idea
//
// A page is a folder of files that works from a disk, any web server or a
// bucket: index.html, its style and script, pictures and films, all of them
// named by their content, so that an index.html never points at bytes other than
// those it was made with. Reading and watching need no script; the script adds
// chapters, frame steps, slow play and the slider.
//
//	ReadLesson (a night's folder) -> Lesson -> LessonPage -> []File
//	             Record, kept of each lesson -> StudentPage, Lists -> []File
//
// # Units
//
// SI in data.json and data.csv; pages show centimetres and say so. An interval
// is always 95 %.
//
// # What it refuses
//
// A film that carries a place or the name of a device; text as anything but
// text. Pages ask nothing of another origin, tell nobody where the reader came
// from, and hold no name of a clip's file. Lengths of putts at different ball
// speeds are never drawn into one line.
package site
