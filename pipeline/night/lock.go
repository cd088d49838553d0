package night

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"syscall"
	"time"
)

// Held is the refusal of an outbox on which another process works.
type Held struct {
	Outbox string
	By     Holder // zero when the other has not written its name yet
}

// Holder is the process that works on an outbox.
type Holder struct {
	PID   int       `json:"pid"`
	Host  string    `json:"host"`
	Since time.Time `json:"since"`
}

func (h *Held) Error() string {
	if h.By.PID == 0 {
		return fmt.Sprintf("the outbox %q is in use by another process", h.Outbox)
	}
	return fmt.Sprintf("the outbox %q is in use by process %d on %s, started %s", h.Outbox, h.By.PID, h.By.Host,
		h.By.Since.Local().Format("2006-01-02 15:04:05"))
}

// Hold keeps every night away from an outbox until it is closed.
func Hold(outbox string) (io.Closer, error) {
	work := filepath.Join(outbox, workDir)
	if err := os.MkdirAll(work, 0o755); err != nil {
		return nil, fmt.Errorf("locking the outbox: %w", err)
	}
	f, err := lock(outbox, filepath.Join(work, "lock"))
	if err != nil {
		return nil, err
	}
	return f, nil
}

// lock takes an outbox for this process. The kernel frees it when the process
// ends, however it ends; the file stays, since removing it would let two
// processes lock two files of the same name.
func lock(outbox, path string) (*os.File, error) {
	f, err := os.OpenFile(path, os.O_RDWR|os.O_CREATE, 0o644)
	if err != nil {
		return nil, fmt.Errorf("locking the outbox: %w", err)
	}
	err = syscall.Flock(int(f.Fd()), syscall.LOCK_EX|syscall.LOCK_NB)
	if errors.Is(err, syscall.EWOULDBLOCK) {
		held := &Held{Outbox: outbox}
		if data, err := io.ReadAll(io.LimitReader(f, 4096)); err == nil && json.Unmarshal(data, &held.By) != nil {
			held.By = Holder{} // caught while writing
		}
		return nil, errors.Join(held, f.Close())
	}
	if err == nil {
		err = sign(f)
	}
	if err != nil {
		return nil, errors.Join(fmt.Errorf("locking the outbox: %w", err), f.Close())
	}
	return f, nil
}

// sign writes who holds the lock.
func sign(f *os.File) error {
	host, err := os.Hostname()
	if err != nil {
		host = "this machine"
	}
	data, err := json.Marshal(Holder{os.Getpid(), host, time.Now().Round(time.Second)})
	if err != nil {
		return err
	}
	if err := f.Truncate(0); err != nil {
		return err
	}
	_, err = f.WriteAt(data, 0)
	return err
}
