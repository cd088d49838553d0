package shelf

import (
	"bytes"
	"context"
	"errors"
	"io/fs"
	"net/http/httptest"
	"net/url"
	"testing"
	"testing/iotest"

	"github.com/johannesboyne/gofakes3"
	"github.com/johannesboyne/gofakes3/backend/s3mem"

	"strokereel/pipeline/site"
)

// bucketURL starts an S3-compatible server on this machine and returns the URL
// of a bucket in it.
func bucketURL(t *testing.T) string {
	backend := s3mem.New()
	must(t, backend.CreateBucket("lessons"))
	server := httptest.NewServer(gofakes3.New(backend).Server())
	t.Cleanup(server.Close)
	t.Setenv("AWS_ACCESS_KEY_ID", "test")
	t.Setenv("AWS_SECRET_ACCESS_KEY", "test")
	t.Setenv("AWS_REQUEST_CHECKSUM_CALCULATION", "when_required")
	return "s3://lessons?region=eu-central-1&use_path_style=true&endpoint=" + url.QueryEscape(server.URL)
}

func TestBucket(t *testing.T) {
	j := academy(t, small()...)
	j.Place = bucketURL(t)
	r := publish(t, j)
	s := opened(t, j)
	if n := whole(t, s); r.Count(Published) != 3 || n != 12 {
		t.Errorf("%d pages, %+v", n, r.Lines)
	}
	if r := publish(t, j); r.Count(Unchanged) != 3 {
		t.Errorf("a second run: %+v", r.Lines)
	}
	attributes, err := s.(*bucket).b.Attributes(t.Context(), r.Links.Students["S-014"])
	must(t, err)
	if attributes.ContentType != "text/html; charset=utf-8" {
		t.Errorf("a page is kept as %+v", attributes)
	}
	receipt, err := Erase(t.Context(), j.Outbox, "", "S-014", j.Look)
	must(t, err)
	if !receipt.Complete() {
		t.Errorf("receipt %+v", receipt)
	}
	gone(t, s, r.Links.Students["S-014"][:26], "S-014")
	whole(t, s)
}

// Both kinds of store keep to the same rules.
func TestStores(t *testing.T) {
	for name, place := range map[string]string{"folder": t.TempDir(), "bucket": bucketURL(t)} {
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
	s, err := OpenStore(ctx, bucketURL(t))
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
