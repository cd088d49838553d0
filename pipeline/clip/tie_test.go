package clip

import (
	"bufio"
	"context"
	"fmt"
	"os"
	"os/exec"
	"strconv"
	"strings"
	"syscall"
	"testing"
	"time"
)

// tiedTo is the environment variable by which a test starts its own program again
// as the one to be killed: the file that its ffmpeg writes.
const tiedTo = "STROKEREEL_TEST_TIED"

func TestMain(m *testing.M) {
	if path := os.Getenv(tiedTo); path != "" {
		// An hour of film, written as fast as it would be shown.
		cmd := exec.CommandContext(context.Background(), "ffmpeg", "-v", "error", "-nostdin", "-re", "-f", "lavfi", "-i", "testsrc=d=3600", "-y", path)
		Tie(cmd)
		if err := cmd.Start(); err != nil {
			fmt.Fprintln(os.Stderr, err)
			os.Exit(1)
		}
		fmt.Println(cmd.Process.Pid)
		_ = cmd.Wait()
		os.Exit(0)
	}
	os.Exit(m.Run())
}

func TestChildrenEndWithTheirParent(t *testing.T) {
	parent := exec.Command(os.Args[0])
	parent.Env = append(os.Environ(), tiedTo+"="+t.TempDir()+"/film.mp4")
	out, err := parent.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := parent.Start(); err != nil {
		t.Fatal(err)
	}
	line, err := bufio.NewReader(out).ReadString('\n')
	if err != nil {
		t.Fatal(err)
	}
	pid, err := strconv.Atoi(strings.TrimSpace(line))
	if err != nil {
		t.Fatal(err)
	}
	if !running(pid) {
		t.Fatal("the child never ran: this test would prove nothing")
	}
	if err := parent.Process.Kill(); err != nil {
		t.Fatal(err)
	}
	_ = parent.Wait()
	for range 100 {
		if !running(pid) {
			return
		}
		time.Sleep(50 * time.Millisecond)
	}
	_ = syscall.Kill(pid, syscall.SIGKILL)
	t.Error("ffmpeg goes on after the program that started it was killed")
}

// running reports whether a process works; one that ended and that nobody has
// waited for does not.
func running(pid int) bool {
	data, err := os.ReadFile(fmt.Sprintf("/proc/%d/stat", pid))
	if err != nil {
		return false
	}
	_, state, ok := strings.Cut(string(data), ") ")
	return ok && state[0] != 'Z'
}
