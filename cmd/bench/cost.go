package main

import (
	"context"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
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

// resident returns the memory, MB, of a process and its descendants now.
func resident(root int) float64 {
	parents, pages := map[int]int{}, map[int]float64{}
	stats, _ := filepath.Glob("/proc/[0-9]*/stat")
	for _, s := range stats {
		raw, err := os.ReadFile(s)
		if err != nil {
			continue
		}
		// Fields after the name in brackets: state, parent, ..., the 22nd is
		// the resident size in pages.
		_, rest, ok := strings.Cut(string(raw), ") ")
		f := strings.Fields(rest)
		if !ok || len(f) < 22 {
			continue
		}
		pid, _ := strconv.Atoi(filepath.Base(filepath.Dir(s)))
		parents[pid], _ = strconv.Atoi(f[1])
		pages[pid], _ = strconv.ParseFloat(f[21], 64)
	}
	total := 0.0
	for pid := range pages {
		for p := pid; p > 1; p = parents[p] {
			if p == root {
				total += pages[pid]
				break
			}
		}
	}
	return total * float64(os.Getpagesize()) / 1e6
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
