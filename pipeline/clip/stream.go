package clip

import (
	"errors"
	"fmt"
	"os"
	"syscall"
)

// streamBytes is what may be under way in a stream. Linux allows less unless told
// otherwise (net.core.wmem_max), which only costs speed.
const streamBytes = 1 << 20

// Stream joins this program and a child that is about to start: one end is ours, the
// other its standard input or output. It is a pair of local sockets: a pipe hands
// pictures over page by page under a lock for which both ends spin, which takes a
// quarter more of the kernel's time.
func Stream() (ours, its *os.File, err error) {
	ends, err := syscall.Socketpair(syscall.AF_UNIX, syscall.SOCK_STREAM|syscall.SOCK_CLOEXEC, 0)
	if err != nil {
		return nil, nil, fmt.Errorf("making a stream: %w", err)
	}
	for _, end := range ends {
		err = errors.Join(err, syscall.SetsockoptInt(end, syscall.SOL_SOCKET, syscall.SO_SNDBUF, streamBytes))
	}
	// Only our end: the child expects to wait in its reads and writes.
	err = errors.Join(err, syscall.SetNonblock(ends[0], true))
	ours, its = os.NewFile(uintptr(ends[0]), "stream"), os.NewFile(uintptr(ends[1]), "stream of a child")
	if err != nil {
		return nil, nil, fmt.Errorf("making a stream: %w", errors.Join(err, ours.Close(), its.Close()))
	}
	return ours, its, nil
}
