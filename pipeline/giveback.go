package pipeline

// #include <malloc.h>
import "C"

import "runtime/debug"

// giveBack returns to the system what measuring held: the C library keeps what
// OpenCV freed, a hundred megabytes that an encoder may want next.
func giveBack() {
	debug.FreeOSMemory()
	C.malloc_trim(0)
}
