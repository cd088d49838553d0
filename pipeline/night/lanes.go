package night

import (
	"os"
	"runtime"
	"strconv"
	"strings"
	"time"

	"strokereel/pipeline/settings"
)

func minutes(m float64) time.Duration { return time.Duration(m * float64(time.Minute)) }

// Lanes is how many clips are measured at the same time.
func Lanes(o settings.Night) int {
	if o.Lanes > 0 {
		return o.Lanes
	}
	return lanesFor(runtime.GOMAXPROCS(0), availableMB(), o.ClipMemory)
}

// lanesFor leaves half of the memory to the system and the reel; memory is 0
// when not known.
func lanesFor(cores int, memory, perClip float64) int {
	if memory <= 0 {
		return cores
	}
	return max(1, min(cores, int(memory/2/perClip)))
}

// availableMB is the memory that can be used without swapping, as Linux
// estimates it, within the limit set for this process's group.
func availableMB() float64 {
	available := 0.0
	if data, err := os.ReadFile("/proc/meminfo"); err == nil {
		for line := range strings.Lines(string(data)) {
			if f := strings.Fields(line); len(f) == 3 && f[0] == "MemAvailable:" {
				kb, _ := strconv.ParseFloat(f[1], 64)
				available = kb / 1024
			}
		}
	}
	if data, err := os.ReadFile("/sys/fs/cgroup/memory.max"); err == nil {
		if limit, err := strconv.ParseFloat(strings.TrimSpace(string(data)), 64); err == nil {
			available = min(available, limit/1e6)
		}
	}
	return available
}
