package shelf

import (
	"bytes"
	"context"
	"errors"
	"io/fs"
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"
	"sync"
	"testing"
	"testing/iotest"

	"github.com/johannesboyne/gofakes3"
	"github.com/johannesboyne/gofakes3/backend/s3mem"

	"strokereel/pipeline/site"
)

// arrivals are the headers of what a server was sent, by name.
type arrivals struct {
	mu   sync.Mutex
	sent map[string]http.Header
}

func (a *arrivals) note(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if r.Method == http.MethodPut {
			a.mu.Lock()
			a.sent[strings.TrimPrefix(r.URL.Path, "/lessons/")] = r.Header.Clone()
			a.mu.Unlock()
		}
		next.ServeHTTP(w, r)
	})
}

// bucketURL starts an S3-compatible server on this machine and returns the URL
// of a bucket in it, and what arrives there.
func bucketURL(t *testing.T) (place string, a *arrivals) {
	backend := s3mem.New()
	must(t, backend.CreateBucket("lessons"))
	a = &arrivals{sent: map[string]http.Header{}}
	server := httptest.NewServer(a.note(gofakes3.New(backend).Server()))
	t.Cleanup(server.Close)
	t.Setenv("AWS_ACCESS_KEY_ID", "test")
	t.Setenv("AWS_SECRET_ACCESS_KEY", "test")
	return "s3://lessons?region=eu-central-1&use_path_style=true&endpoint=" + url.QueryEscape(server.URL), a
}

func TestBucket(t *testing.T) {
	j := academy(t, small()...)
	place, arrived := bucketURL(t)
	j.Place = place
	r := publish(t, j)
	s := opened(t, j)
	if n := whole(t, s); r.Count(Published) != 3 || n != 12 {
		t.Errorf("%d pages, %+v", n, r.Lines)
	}
	if r := publish(t, j); r.Count(Unchanged) != 3 {
		t.Errorf("a second run: %+v", r.Lines)
	}
	inBrowser(t, s, arrived)
	folder := r.Links.Students["S-014"][:26]
	own := only(t, s, func(name string) bool { return strings.HasPrefix(name, folder) })
	receipt, err := Erase(t.Context(), j.Outbox, "", "S-014", j.Look)
	must(t, err)
	if !receipt.Complete() {
		t.Errorf("receipt %+v", receipt)
	}
	gone(t, s, folder, "S-014")
	noneOf(t, s, own)
	whole(t, s)
}

// inBrowser fails when a file of the bucket is given away as anything but what it
// is, or was put there without asking browsers and proxies not to keep it. (The
// server of these tests forgets the latter.)
func inBrowser(t *testing.T, s Store, a *arrivals) {
	t.Helper()
	all, err := s.List(t.Context(), "")
	must(t, err)
	kinds := map[string]bool{}
	for name := range all {
		attributes, err := s.(*bucket).b.Attributes(t.Context(), name)
		must(t, err)
		kind, sent := site.ContentType(name), a.sent[name]
		kinds[kind] = true
		if kind == "" || attributes.ContentType != kind || sent.Get("Content-Type") != kind || sent.Get("Cache-Control") != "private, no-cache" {
			t.Errorf("%s: kept as %q, sent as %v", name, attributes.ContentType, sent)
		}
	}
	if len(kinds) != 8 {
		t.Errorf("the bucket has only %v", kinds)
	}
}

// Both kinds of store keep to the same rules.
func TestStores(t *testing.T) {
	far, _ := bucketURL(t)
	for name, place := range map[string]string{"folder": t.TempDir(), "bucket": far} {
		t.Run(name, func(t *testing.T) {
			ctx := context.Background()
			s, err := OpenStore(ctx, place)
			must(t, err)
			defer s.Close()
			must(t, s.Put(ctx, "a/b.txt", site.File{Data: []byte("one")}))
			must(t, s.Put(ctx, "a/b.txt", site.File{Data: []byte("other")}))
			must(t, s.Put(ctx, "ab/c.txt", site.File{Data: []byte("x")}))
			if all, err := s.List(ctx, "a/"); err != nil || len(all) != 1 || all["a/b.txt"] != 5 {
				t.Errorf("listed %v, %v", all, err)
			}
			if got := content(t, s, "a/b.txt"); got != "other" {
				t.Errorf("read %q", got)
			}
			must(t, s.Remove(ctx, "a/b.txt"))
			must(t, s.Remove(ctx, "a/b.txt"))
			if _, err := s.Open(ctx, "a/b.txt"); !errors.Is(err, fs.ErrNotExist) {
				t.Errorf("got %v", err)
			}
			if err := s.Put(ctx, "d.txt", site.File{Path: t.TempDir() + "/none"}); err == nil {
				t.Error("a file that is not there was put")
			}
			if all, err := s.List(ctx, ""); err != nil || len(all) != 1 {
				t.Errorf("left %v, %v", all, err)
			}
		})
	}
}

// A file that breaks off while it is read leaves nothing in the bucket.
func TestBucketLeavesNoHalfFile(t *testing.T) {
	ctx := context.Background()
	place, _ := bucketURL(t)
	s, err := OpenStore(ctx, place)
	must(t, err)
	defer s.Close()
	err = s.(*bucket).write(ctx, "reel.mp4", iotest.TimeoutReader(iotest.OneByteReader(bytes.NewReader(make([]byte, 100)))))
	if !errors.Is(err, iotest.ErrTimeout) {
		t.Errorf("got %v", err)
	}
	if all, err := s.List(ctx, ""); err != nil || len(all) != 0 {
		t.Errorf("left %v, %v", all, err)
	}
}
