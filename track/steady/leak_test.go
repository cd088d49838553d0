//go:build matprofile

package steady

import (
	"testing"

	"gocv.io/x/gocv"
)

func TestPicturesAreFreed(t *testing.T) {
	before := gocv.MatProfile.Count()
	w := New(DefaultOptions())
	for i := 0; i < 4; i++ {
		if err := w.Next(scene(i, 0, 0, 250)); err != nil {
			t.Fatal(err)
		}
	}
	if gocv.MatProfile.Count() == before {
		t.Fatal("the watch holds no picture: this test would prove nothing")
	}
	w.Close()
	if left := gocv.MatProfile.Count() - before; left != 0 {
		t.Errorf("%d pictures were not freed", left)
	}
}
