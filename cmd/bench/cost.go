package main

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"os/exec"
	"slices"
	"strconv"
	"strings"
	"syscall"
	"time"
)

// cost is what a command took, its children included.
type cost struct {
	Wall, CPU float64 // s
	Peak      float64 // MB, largest sum of resident memory over the command and its descendants
}

// spent runs a command and measures it.
func spent(ctx context.Context, name string, args ...string) (cost, error) {
	cmd := exec.CommandContext(ctx, name, args...)
	began := time.Now()
	if err := cmd.Start(); err != nil {
		return cost{}, fmt.Errorf("timing %q: %w", name, err)
	}
	stop, peak := make(chan struct{}), make(chan float64)
	go func() {
		most := 0.0
		for {
			select {
			case <-stop:
				peak <- most
				return
			case <-time.After(20 * time.Millisecond):
				most = max(most, resident(cmd.Process.Pid))
			}
		}
	}()
	err := cmd.Wait()
	c := cost{Wall: time.Since(began).Seconds()}
	close(stop)
	c.Peak = <-peak
	if err != nil {
		return cost{}, fmt.Errorf("timing %q: %w", name, err)
	}
	// The usage of a finished process holds that of the children it waited for.
	if u, ok := cmd.ProcessState.SysUsage().(*syscall.Rusage); ok {
		c.CPU = seconds(u.Utime) + seconds(u.Stime)
	}
	return c, nil
}

func seconds(t syscall.Timeval) float64 { return float64(t.Sec) + float64(t.Usec)/1e6 }

// resident returns the memory, MB, of a process and its descendants now. Only
// they are looked at: going through every process of the machine took a fifth of
// a core from what was being timed.
func resident(root int) float64 { return pages(root) * float64(os.Getpagesize()) / 1e6 }

// pages is how many pages of memory a process and its descendants hold; one that
// has just ended holds none, and one that has not yet begun its own program shares
// those of its parent, whose command line it shows.
func pages(pid int) float64 {
	dir := fmt.Sprintf("/proc/%d/", pid)
	sum, total := 0.0, 0.0
	if raw, err := os.ReadFile(dir + "statm"); err == nil {
		_, _ = fmt.Sscan(string(raw), &total, &sum)
	}
	command, _ := os.ReadFile(dir + "cmdline")
	tasks, _ := os.ReadDir(dir + "task")
	for _, t := range tasks {
		children, _ := os.ReadFile(dir + "task/" + t.Name() + "/children")
		for _, word := range strings.Fields(string(children)) {
			child, err := strconv.Atoi(word)
			if theirs, _ := os.ReadFile("/proc/" + word + "/cmdline"); err == nil && !bytes.Equal(theirs, command) {
				sum += pages(child)
			}
		}
	}
	return sum
}

// medianCost returns the middle cost, figure by figure; Peak is the largest.
func medianCost(costs []cost) cost {
	var wall, cpu []float64
	peak := 0.0
	for _, c := range costs {
		wall, cpu, peak = append(wall, c.Wall), append(cpu, c.CPU), max(peak, c.Peak)
	}
	slices.Sort(wall)
	slices.Sort(cpu)
	return cost{wall[len(wall)/2], cpu[len(cpu)/2], peak}
}
