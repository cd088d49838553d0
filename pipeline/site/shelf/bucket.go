package shelf

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"net/url"

	"gocloud.dev/blob"
	_ "gocloud.dev/blob/s3blob" // opens s3:// URLs
	"gocloud.dev/gcerrors"

	"strokereel/pipeline/site"
)

// bucket is a store in an S3-compatible bucket.
type bucket struct{ b *blob.Bucket }

func openBucket(ctx context.Context, place string) (Store, error) {
	b, err := blob.OpenBucket(ctx, understood(place))
	if err != nil {
		return nil, fmt.Errorf("opening the bucket: %w", err)
	}
	return &bucket{b}, nil
}

// understood is a bucket's URL with what servers other than the protocol's first
// need: most know no checksums of a later day, neither of what they are sent nor
// of what they send.
func understood(place string) string {
	u, err := url.Parse(place)
	if err != nil || !u.Query().Has("endpoint") {
		return place
	}
	q := u.Query()
	for _, key := range []string{"request_checksum_calculation", "response_checksum_validation"} {
		if !q.Has(key) {
			q.Set(key, "when_required")
		}
	}
	u.RawQuery = q.Encode()
	return u.String()
}

func (s *bucket) Close() error { return s.b.Close() }

// keepNot asks browsers and proxies not to keep what may be withdrawn.
const keepNot = "private, no-cache"

func (s *bucket) Put(ctx context.Context, name string, f site.File) error {
	from, err := f.Open()
	if err != nil {
		return fmt.Errorf("putting %q into the bucket: %w", name, err)
	}
	defer from.Close()
	return s.write(ctx, name, from)
}

// write puts all that can be read, or nothing.
func (s *bucket) write(ctx context.Context, name string, from io.Reader) error {
	// A writer that is closed commits what it has; only a context that has ended
	// keeps it from doing so with half a file.
	ctx, cancel := context.WithCancel(ctx)
	defer cancel()
	w, err := s.b.NewWriter(ctx, name, &blob.WriterOptions{ContentType: site.ContentType(name), CacheControl: keepNot})
	if err != nil {
		return fmt.Errorf("putting %q into the bucket: %w", name, err)
	}
	if _, err = io.Copy(w, from); err != nil {
		cancel()
		err = errors.Join(err, ignoreCancelled(w.Close()))
	} else {
		err = w.Close()
	}
	if err != nil {
		return fmt.Errorf("putting %q into the bucket: %w", name, err)
	}
	return nil
}

func ignoreCancelled(err error) error {
	if errors.Is(err, context.Canceled) || gcerrors.Code(err) == gcerrors.Canceled {
		return nil
	}
	return err
}

func (s *bucket) Open(ctx context.Context, name string) (io.ReadCloser, error) {
	r, err := s.b.NewReader(ctx, name, nil)
	if gcerrors.Code(err) == gcerrors.NotFound {
		return nil, fmt.Errorf("opening %q in the bucket: %w", name, fs.ErrNotExist)
	}
	if err != nil {
		return nil, fmt.Errorf("opening %q in the bucket: %w", name, err)
	}
	return r, nil
}

func (s *bucket) List(ctx context.Context, prefix string) (map[string]int64, error) {
	found := map[string]int64{}
	for it := s.b.List(&blob.ListOptions{Prefix: prefix}); ; {
		o, err := it.Next(ctx)
		if err == io.EOF {
			return found, nil
		}
		if err != nil {
			return nil, fmt.Errorf("listing the bucket: %w", err)
		}
		found[o.Key] = o.Size
	}
}

func (s *bucket) Remove(ctx context.Context, name string) error {
	if err := s.b.Delete(ctx, name); err != nil && gcerrors.Code(err) != gcerrors.NotFound {
		return fmt.Errorf("taking %q from the bucket: %w", name, err)
	}
	return nil
}
