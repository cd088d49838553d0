// Package heap gives memory back to the system.
package heap

// #include <malloc.h>
import "C"

import "runtime/debug"

// GiveBack returns what is not held any more. The C library keeps what OpenCV
// freed: a hundred megabytes after a clip, which an encoder may want next.
func GiveBack() {
	debug.FreeOSMemory()
	C.malloc_trim(0)
}
