package main

import (
	"context"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"syscall"
)

// diskSteps is at how many sizes of a small disk a night runs out of room, from
// nearly none to nearly enough.
const diskSteps = 10

// fullDisk runs a night of one lesson on disks that are too small, then gives
// them room. It needs the right to mount and says so when it has none.
func (b nightBench) fullDisk(ctx context.Context, dir, inbox string, want map[string]string) error {
	if os.Geteuid() != 0 {
		b.say("full disk: not tried, only root may mount a small one")
		return nil
	}
	one, place := filepath.Join(dir, "in"), filepath.Join(dir, "disk")
	if err := os.MkdirAll(one, 0o755); err != nil {
		return err
	}
	if err := os.MkdirAll(place, 0o755); err != nil {
		return err
	}
	if err := os.CopyFS(filepath.Join(one, "S-001"), os.DirFS(filepath.Join(inbox, "S-001"))); err != nil {
		return err
	}
	most, err := b.peak(ctx, one, place)
	if err != nil {
		return err
	}
	for step := range diskSteps {
		size := most * int64(2*step+1) / (2 * diskSteps)
		if err := b.tooSmall(ctx, one, place, size, want); err != nil {
			return fmt.Errorf("a disk of %d kB: %w", size>>10, err)
		}
	}
	b.say("full disk: %d sizes up to %.1f MB; each time the night said so, and went on when there was room", diskSteps, float64(most)/1e6)
	return nil
}

// peak is how much room a night takes, by trying.
func (b nightBench) peak(ctx context.Context, inbox, place string) (int64, error) {
	if err := mount(place, 1<<30); err != nil {
		return 0, err
	}
	defer unmount(place)
	if err := b.night(ctx, inbox, filepath.Join(place, "out")).complete(ctx); err != nil {
		return 0, err
	}
	var st syscall.Statfs_t
	if err := syscall.Statfs(place, &st); err != nil {
		return 0, err
	}
	return int64(st.Blocks-st.Bfree) * st.Bsize, nil
}

// tooSmall runs a night twice, the second time with room.
func (b nightBench) tooSmall(ctx context.Context, inbox, place string, size int64, want map[string]string) error {
	if err := mount(place, size); err != nil {
		return err
	}
	defer unmount(place)
	outbox := filepath.Join(place, "out")
	r := b.night(ctx, inbox, outbox)
	if err := r.fails(3, "the disk is full", "make room on the disk, then run night again"); err != nil {
		return err
	}
	k := killing{nightBench: b, outbox: outbox, want: want}
	if _, err := k.visible(ctx); err != nil {
		return err
	}
	if err := exec.CommandContext(ctx, "mount", "-o", fmt.Sprintf("remount,size=%d", 1<<30), place).Run(); err != nil {
		return fmt.Errorf("giving the disk room: %w", err)
	}
	if err := b.night(ctx, inbox, outbox).complete(ctx); err != nil {
		return err
	}
	k.want = map[string]string{}
	for name, frames := range want {
		if filepath.Dir(name) == "S-001" {
			k.want[name] = frames
		}
	}
	return k.finished(ctx)
}

func mount(place string, size int64) error {
	out, err := exec.Command("mount", "-t", "tmpfs", "-o", fmt.Sprintf("size=%d", size), "tmpfs", place).CombinedOutput()
	if err != nil {
		return fmt.Errorf("mounting a small disk: %s: %w", out, err)
	}
	return nil
}

func unmount(place string) {
	// A mount that stays only shows that something still uses it; the next mount
	// lies over it.
	_ = exec.Command("umount", place).Run()
}
