package clip

import (
	"os/exec"
	"syscall"
)

// Tie makes a command that is about to start end together with this program,
// however the program ends, and with all that the command starts when its context
// ends. Otherwise a killed night would leave encoders behind that go on writing.
//
// Linux sends the signal when the thread ends that started the command; Go ends
// no thread but those that a goroutine locked to itself and left locked, which
// this program never does.
func Tie(cmd *exec.Cmd) {
	cmd.WaitDelay = waitDelay
	cmd.SysProcAttr = &syscall.SysProcAttr{Setpgid: true, Pdeathsig: syscall.SIGKILL}
	cmd.Cancel = func() error { return syscall.Kill(-cmd.Process.Pid, syscall.SIGKILL) }
}
