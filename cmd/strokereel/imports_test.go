package main

import (
	"bytes"
	"encoding/json"
	"errors"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

const module = "strokereel"

// layers lists the top folders from the one that speaks to the one that
// measures; each may import itself and those after it.
var layers = []string{"cmd", "pipeline", "overlay", "track"}

// reserved says which folders may import what reaches outside the program. A
// folder stands for itself and, with a trailing slash, for all below it.
var reserved = map[string][]string{
	"gocv.io/x/gocv":               {"track/marker", "track/ball", "track/body", "track/steady"},
	"github.com/u2takey/ffmpeg-go": {"pipeline/clip", "pipeline/reel", "pipeline/demo"},
	"github.com/fogleman/gg":       {"overlay", "overlay/", "pipeline/demo"},
	"github.com/spf13/cobra":       {"cmd/"},
	// OpenCV once more, with a guard against its exceptions; and the C library,
	// which keeps what OpenCV freed; and the scaling of pictures, in which a reel
	// spends its time.
	"C": {"track/qr", "track/heap", "pipeline/reel"},
	// pipeline/bench runs other trackers in Python beside ours; cmd/bench times whole commands and cmd/strokereel runs the command that a
	// person wants after a night; none runs ffmpeg for the product.
	"os/exec": {"pipeline/clip", "pipeline/clip/cliptest", "pipeline/reel", "pipeline/demo", "pipeline/bench", "cmd/bench", "cmd/strokereel"},
}

// pure lists the packages that compute and touch nothing else.
var pure = []string{"track", "track/path", "track/phase", "track/measure", "track/roll", "track/sound", "track/cast"}

// impure lists what a package that only computes has no use for.
var impure = []string{"os", "os/exec", "io/fs", "net", "net/http", "log", "log/slog", "math/rand", "syscall", "time", "unsafe"}

type listed struct {
	ImportPath string
	Dir        string
	Imports    []string
}

// packages asks the go command for the packages of the module and what each
// imports outside its tests.
func packages(t *testing.T) map[string][]string {
	t.Helper()
	cmd := exec.Command("go", "list", "-json=ImportPath,Dir,Imports", "./...")
	cmd.Dir = filepath.Join("..", "..")
	cmd.Stderr = os.Stderr
	out, err := cmd.Output()
	if err != nil {
		t.Fatal(err)
	}
	found := map[string][]string{}
	for dec := json.NewDecoder(bytes.NewReader(out)); ; {
		var p listed
		if err := dec.Decode(&p); errors.Is(err, io.EOF) {
			return found
		} else if err != nil {
			t.Fatal(err)
		}
		found[strings.TrimPrefix(p.ImportPath, module+"/")] = p.Imports
	}
}

func TestImports(t *testing.T) {
	all := packages(t)
	for _, must := range []string{"cmd/strokereel", "pipeline/clip", "track", "track/marker"} {
		if _, ok := all[must]; !ok {
			t.Fatalf("go list does not know %s", must)
		}
	}
	for pkg, imports := range all {
		for _, fault := range faults(pkg, imports) {
			t.Error(fault)
		}
	}
}

// faults names every import that a package may not have.
func faults(pkg string, imports []string) []string {
	var found []string
	top, _, _ := strings.Cut(pkg, "/")
	level := slices.Index(layers, top)
	if level < 0 {
		return []string{pkg + " lies outside the layers"}
	}
	for _, im := range imports {
		if inner, ours := strings.CutPrefix(im, module+"/"); ours {
			to, _, _ := strings.Cut(inner, "/")
			if slices.Index(layers, to) < level {
				found = append(found, pkg+" imports upward: "+inner)
			}
		}
		if places, held := reserved[im]; held && !allowed(pkg, places) {
			found = append(found, pkg+" may not import "+im)
		}
		if slices.Contains(pure, pkg) && slices.Contains(impure, im) {
			found = append(found, pkg+" only computes and may not import "+im)
		}
	}
	return found
}

func allowed(pkg string, places []string) bool {
	return slices.ContainsFunc(places, func(p string) bool {
		return pkg == p || strings.HasSuffix(p, "/") && strings.HasPrefix(pkg, p)
	})
}

// The guard itself must bark.
func TestFaults(t *testing.T) {
	for _, c := range []struct {
		pkg, imports, want string
	}{
		{"track/path", "strokereel/pipeline/clip", "track/path imports upward: pipeline/clip"},
		{"overlay", "strokereel/pipeline", "overlay imports upward: pipeline"},
		{"track/path", "gocv.io/x/gocv", "track/path may not import gocv.io/x/gocv"},
		{"pipeline/night", "os/exec", "pipeline/night may not import os/exec"},
		{"pipeline/clip", "github.com/fogleman/gg", "pipeline/clip may not import github.com/fogleman/gg"},
		{"track/ball", "C", "track/ball may not import C"},
		{"track/phase", "os", "track/phase only computes and may not import os"},
		{"helpers", "fmt", "helpers lies outside the layers"},
		{"cmd/strokereel", "strokereel/track", ""},
		{"overlay/scene", "github.com/fogleman/gg", ""},
		{"pipeline/clip", "os/exec", ""},
	} {
		if got := strings.Join(faults(c.pkg, []string{c.imports}), "; "); got != c.want {
			t.Errorf("%s with %s: %q, want %q", c.pkg, c.imports, got, c.want)
		}
	}
}
