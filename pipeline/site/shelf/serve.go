package shelf

import (
	"context"
	"errors"
	"io/fs"
	"net"
	"net/http"
	"os"
	"path"
	"strings"
	"time"

	"strokereel/pipeline/site"
)

// handler shows the files of a shelf in a folder.
type handler struct{ root *os.Root }

// Handler shows a shelf to browsers on this machine. It reads and never writes,
// lists nothing, and leads nowhere else.
func Handler(root *os.Root) http.Handler { return &handler{root} }

// Policies of answers (Content Security Policy level 3): of pages, of a practice
// sheet, which brings its style along, and of pictures opened by themselves.
const (
	pagePolicy    = "default-src 'none'; img-src 'self' data:; media-src 'self' data:; style-src 'self'; script-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'"
	sheetPolicy   = site.SheetPolicy + "; frame-ancestors 'none'"
	picturePolicy = "default-src 'none'; style-src 'unsafe-inline'; frame-ancestors 'none'; sandbox"
)

func policyOf(name string) string {
	switch {
	case strings.HasPrefix(path.Base(name), site.SheetName):
		return sheetPolicy
	case path.Ext(name) == ".html":
		return pagePolicy
	}
	return picturePolicy
}

func (h *handler) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	head := w.Header()
	head.Set("X-Content-Type-Options", "nosniff")
	head.Set("Referrer-Policy", "no-referrer")
	head.Set("X-Robots-Tag", "noindex, nofollow, noarchive")
	head.Set("Cross-Origin-Resource-Policy", "same-origin")
	head.Set("Cross-Origin-Opener-Policy", "same-origin")
	head.Set("Permissions-Policy", "camera=(), microphone=(), geolocation=()")
	head.Set("Cache-Control", keepNot)
	head.Set("Content-Security-Policy", picturePolicy)
	if !ownHost(r.Host) {
		http.Error(w, "this shelf is shown to this machine only", http.StatusMisdirectedRequest)
		return
	}
	if r.Method != http.MethodGet && r.Method != http.MethodHead {
		head.Set("Allow", "GET, HEAD")
		http.Error(w, "a shelf can only be read", http.StatusMethodNotAllowed)
		return
	}
	name, err := parsePath(r.URL.EscapedPath())
	kind := site.ContentType(name)
	if err != nil || kind == "" {
		http.Error(w, errNoPath.Error(), http.StatusNotFound)
		return
	}
	f, st, err := h.open(name)
	if err != nil {
		http.Error(w, errNoPath.Error(), http.StatusNotFound)
		return
	}
	defer f.Close()
	head.Set("Content-Type", kind)
	head.Set("Content-Security-Policy", policyOf(name))
	if tooManyRanges(r.Header) {
		r.Header.Del("Range") // RFC 9110, 14.2: a server may ignore it
	}
	http.ServeContent(w, r, "", st.ModTime(), f)
}

// open opens a plain file; links are not followed out of the shelf.
func (h *handler) open(name string) (*os.File, fs.FileInfo, error) {
	f, err := h.root.Open(name)
	if err != nil {
		return nil, nil, err
	}
	st, err := f.Stat()
	if err == nil && !st.Mode().IsRegular() {
		err = errNoPath
	}
	if err != nil {
		f.Close()
		return nil, nil, err
	}
	return f, st, nil
}

// tooManyRanges reports whether a request wants several parts at once. No player
// does; many small ones cost the server far more than they are worth.
func tooManyRanges(h http.Header) bool {
	v := h.Values("Range")
	return len(v) > 1 || len(v) == 1 && strings.Contains(v[0], ",")
}

// ownHost reports whether a request names this machine: a page of another origin
// that had its name point here names itself.
func ownHost(host string) bool {
	if h, _, err := net.SplitHostPort(host); err == nil {
		host = h
	}
	host = strings.Trim(host, "[]")
	ip := net.ParseIP(host)
	return host == "localhost" || ip != nil && ip.IsLoopback()
}

// ErrFar says that an address is not one of this machine alone.
var ErrFar = errors.New("a shelf is shown on 127.0.0.1 only: give an address as 127.0.0.1:8080")

// Serve shows a shelf on an address of this machine until the context ends. told
// hears the address once it can be opened.
func Serve(ctx context.Context, dir, addr string, told func(url string)) error {
	host, _, err := net.SplitHostPort(addr)
	if err != nil || !ownHost(host) || host == "" {
		return ErrFar
	}
	root, err := os.OpenRoot(dir)
	if err != nil {
		return err
	}
	defer root.Close()
	l, err := net.Listen("tcp", addr)
	if err != nil {
		return err
	}
	s := &http.Server{
		Handler:           Handler(root),
		ReadHeaderTimeout: 5 * time.Second,
		ReadTimeout:       10 * time.Second,
		IdleTimeout:       60 * time.Second,
		MaxHeaderBytes:    16 << 10,
	}
	stop := context.AfterFunc(ctx, func() {
		end, cancel := context.WithTimeout(context.Background(), 3*time.Second)
		defer cancel()
		if s.Shutdown(end) != nil {
			s.Close()
		}
	})
	defer stop()
	told("http://" + l.Addr().String() + "/")
	if err := s.Serve(l); !errors.Is(err, http.ErrServerClosed) {
		return err
	}
	return nil
}
