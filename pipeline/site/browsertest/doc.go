// Package browsertest holds the tests of pages in a real browser: whether they
// play, obey the keyboard, ask nothing of other servers and are accessible. They
// need chromium, ffmpeg and axe-core, which scripts/setup --test installs.
package browsertest
