package night

import (
	"os"
	"runtime"
	"strconv"
	"strings"
	"time"

	"strokereel/track"
)

// Options bound what a night may use.
type Options struct {
	// Lanes is chosen from the machine when 0: measuring a clip keeps about one
	// core busy, half with decoding, half with following.
	Lanes int `key:"lanes" unit:"clips" range:"0..64" help:"clips measured at the same time; 0 takes one per core as far as memory reaches; lower it to keep the machine free for other work"`
	// ClipMemory was 120 MB for 720p clips of 60 frames/s (largest resident size
	// of the process); a clip of 4K has nine times the pixels in a few frames.
	ClipMemory float64 `key:"clip_memory" unit:"MB" range:"50..16000" help:"memory set aside for each clip that is measured; 400 holds one of 4K; raise it for larger pictures"`
	// ClipTime is a hundred times what a clip of ten seconds takes.
	ClipTime float64 `key:"clip_time" unit:"min" range:"0.01..600" help:"a clip that takes longer is given up for this night; 20 is far more than any usable clip needs; raise it on a very slow machine"`
}

// DefaultOptions returns what suits a laptop.
func DefaultOptions() Options { return Options{Lanes: 0, ClipMemory: 400, ClipTime: 20} }

// Validate names the first option that makes no sense.
func (o Options) Validate() error { return track.CheckRanges(o) }

func (o Options) clipTime() time.Duration { return time.Duration(o.ClipTime * float64(time.Minute)) }

// lanes is how many clips are measured at the same time.
func (o Options) lanes() int {
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
