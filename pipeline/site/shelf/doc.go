// Package shelf keeps the pages of lessons where students open them: in a folder
// that a web server shows, or in a bucket. It decides who may be shown, puts
// pages there and takes them away again.
//
// # The idea
//
//	outbox/S-014/...        a night's finished lessons
//	inbox/**/student.yaml   consent, on the students' cards
//	outbox/.shelf/          the register: which student has which folder on which shelf
//
//	shelf/index.html        tells nothing
//	shelf/FOLDER/           the academy's lists, a coach's, or a student's page
//	shelf/FOLDER/FOLDER/    a lesson
//
// Every FOLDER is a name of 128 random bits, so its link is the key to it; the
// register alone knows whose it is, and never leaves the academy's machine.
//
// Files of a page are named by their content and put there before the page, and
// a page goes before its files, so whoever opens a page at any moment finds all
// of it. What a lesson's folder will be called is in the register before its
// first byte is on the shelf; a run that was killed is made good by the next.
//
// # What it refuses
//
// To publish without consent in force to measuring and to publishing, of a
// guardian where the student is a minor; to publish anything while a card cannot
// be read, since it may be the one that says no. A consent that ends takes the
// pages away at the next run. Bytes that a versioned bucket or a backup keeps
// are out of its reach.
package shelf
