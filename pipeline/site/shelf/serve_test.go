package shelf

import (
	"fmt"
	"io"
	"net"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// raw sends a request as it is written, so that no client tidies the path.
func raw(t *testing.T, addr, target, more string) (status int, h http.Header, body string) {
	t.Helper()
	c, err := net.Dial("tcp", addr)
	must(t, err)
	defer c.Close()
	fmt.Fprintf(c, "GET %s HTTP/1.1\r\nHost: 127.0.0.1\r\nConnection: close\r\n%s\r\n", target, more)
	all, err := io.ReadAll(c)
	must(t, err)
	head, body, _ := strings.Cut(string(all), "\r\n\r\n")
	h = http.Header{}
	for _, line := range strings.Split(head, "\r\n")[1:] {
		k, v, _ := strings.Cut(line, ": ")
		h.Add(k, v)
	}
	fmt.Sscanf(head, "HTTP/1.1 %d", &status)
	return status, h, body
}

// shown is a folder with a secret beside it, and links that lead to it.
func shown(t *testing.T) (addr string) {
	dir := t.TempDir()
	shelf := filepath.Join(dir, "shelf")
	must(t, os.MkdirAll(filepath.Join(shelf, "abc"), 0o755))
	for name, text := range map[string]string{"secret.html": "secret", "shelf/index.html": "root", "shelf/abc/index.html": "page", "shelf/abc/reel.mp4": strings.Repeat("0123456789", 100),
		"shelf/.hidden.html": "hidden", "shelf/abc/notes.exe": "other"} {
		must(t, os.WriteFile(filepath.Join(dir, name), []byte(text), 0o644))
	}
	must(t, os.Symlink("../secret.html", filepath.Join(shelf, "link.html")))
	must(t, os.Symlink(dir, filepath.Join(shelf, "up")))
	root, err := os.OpenRoot(shelf)
	must(t, err)
	t.Cleanup(func() { root.Close() })
	s := httptest.NewServer(Handler(root))
	t.Cleanup(s.Close)
	return strings.TrimPrefix(s.URL, "http://")
}

func TestPathTricks(t *testing.T) {
	addr := shown(t)
	for target, want := range map[string]int{
		"/": 200, "/abc/": 200, "/abc/index.html": 200,
		"/../secret.html": 404, "/abc/../../secret.html": 404, "/%2e%2e/secret.html": 404, "/%252e%252e/secret.html": 404, "/..%2fsecret.html": 404,
		"/abc/%2e%2e/%2e%2e/secret.html": 404, "/..%5csecret.html": 404, "/..\\secret.html": 404, "/%c0%ae%c0%ae/secret.html": 404, "/%uff0e%uff0e/secret.html": 400,
		"/\u2025/secret.html": 404, "/abc//index.html": 404, "//abc/index.html": 404, "/./index.html": 404, "/abc/index.html%00": 404, "/abc/index.html/": 404,
		"/link.html": 404, "/up/secret.html": 404, "/.hidden.html": 404, "/abc/notes.exe": 404, "/abc": 404, "/ABC/index.html": 404, "/%61bc/index.html": 404,
		"http://127.0.0.1/../secret.html": 404, "/abc/index.html?x=../../secret.html": 200, "/" + strings.Repeat("a", 300): 404,
	} {
		status, h, body := raw(t, addr, target, "")
		if status != want || strings.Contains(body, "secret") || strings.Contains(body, "hidden") {
			t.Errorf("%q: %d %q, want %d", target, status, body, want)
		}
		if status != 400 && (h.Get("Content-Security-Policy") == "" || h.Get("X-Content-Type-Options") != "nosniff" || h.Get("Referrer-Policy") != "no-referrer") {
			t.Errorf("%q: answered with %v", target, h)
		}
	}
}

func TestRanges(t *testing.T) {
	addr := shown(t)
	for _, c := range []struct {
		name, more string
		status     int
		length     int
	}{
		{"none", "", 200, 1000},
		{"a part", "Range: bytes=10-19\r\n", 206, 10},
		{"the end", "Range: bytes=-5\r\n", 206, 5},
		{"beyond", "Range: bytes=5000-\r\n", 416, -1},
		{"very large", "Range: bytes=0-99999999999999999999\r\n", 416, -1},
		{"nonsense", "Range: bytes=a-b\r\n", 416, -1},
		{"many", "Range: bytes=" + strings.Repeat("0-,", 500) + "0-\r\n", 200, 1000},
		{"two headers", "Range: bytes=0-1\r\nRange: bytes=2-3\r\n", 200, 1000},
	} {
		t.Run(c.name, func(t *testing.T) {
			status, _, body := raw(t, addr, "/abc/reel.mp4", c.more)
			if status != c.status || c.length >= 0 && len(body) != c.length {
				t.Errorf("%d with %d bytes, want %d with %d", status, len(body), c.status, c.length)
			}
		})
	}
}

func TestStrangers(t *testing.T) {
	addr := shown(t)
	for host, want := range map[string]int{"127.0.0.1:8080": 200, "localhost": 200, "[::1]:80": 200, "evil.example": 421, "127.0.0.1.evil.example": 421, "192.168.1.2": 421} {
		r, err := http.NewRequest("GET", "http://"+addr+"/", nil)
		must(t, err)
		r.Host = host
		answer, err := http.DefaultClient.Do(r)
		must(t, err)
		answer.Body.Close()
		if answer.StatusCode != want {
			t.Errorf("%s: %d, want %d", host, answer.StatusCode, want)
		}
	}
	answer, err := http.Post("http://"+addr+"/", "text/plain", strings.NewReader("x"))
	must(t, err)
	answer.Body.Close()
	if answer.StatusCode != http.StatusMethodNotAllowed {
		t.Errorf("POST: %d", answer.StatusCode)
	}
	for _, far := range []string{"0.0.0.0:0", ":0", "192.168.1.2:80", "nonsense"} {
		if err := Serve(t.Context(), t.TempDir(), far, func(string) {}); err == nil {
			t.Errorf("shown on %s", far)
		}
	}
}

func FuzzParsePath(f *testing.F) {
	for _, s := range []string{"/", "/abc/", "/../x.html", "/%2e%2e/x", "/a/b/c/d", "/a\\..\\b", "/.a", "/a..b", "/\u2025/x"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, raw string) {
		name, err := parsePath(raw)
		if err != nil {
			return
		}
		if !filepath.IsLocal(name) || strings.ContainsAny(name, "\\%:\x00") || strings.Contains(name, "..") || strings.HasPrefix(name, ".") || strings.Contains(name, "/.") || strings.Count(name, "/") >= deepestPath {
			t.Errorf("%q became %q", raw, name)
		}
		if again, err := parsePath("/" + name); err != nil || again != name {
			t.Errorf("%q became %q, that %q, %v", raw, name, again, err)
		}
	})
}
