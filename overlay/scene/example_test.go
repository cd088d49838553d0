package scene_test

import (
	"fmt"
	"image"

	"strokereel/overlay"
	"strokereel/overlay/scene"
	"strokereel/track"
)

func ExampleShow() {
	fmt.Println(scene.Show(track.Measure{ID: "backstroke_length", Value: 0.2412, U95: 0.0052, Unit: "m", Status: track.Measured}))
	fmt.Println(scene.Show(track.Measure{ID: "hold_time", Value: 1.639, U95: 0.005, Unit: "s", Status: track.AtLeast}))
	fmt.Println(scene.Show(track.Measure{ID: "recoil", Unit: "m", Status: track.NotMeasured, Reason: "the clip ended at the finish"}))
	// Output:
	// 24.1 cm ± 0.5
	// at least 1.63 s
	// – the clip ended at the finish
}

// A clip's frames are drawn on one after the other with one canvas and one
// stack of elements.
func Example() {
	c, err := overlay.NewCanvas(1280, 720)
	if err != nil {
		fmt.Println(err)
		return
	}
	events := []track.Event{{Name: track.Top, T: 1.7, Status: track.Measured}}
	stack := []overlay.Element{scene.NewTag(overlay.Before, 0.4), scene.NewCaptions(events)}
	for i := range 3 {
		img := image.NewRGBA(image.Rect(0, 0, 1280, 720))
		if err := c.Begin(img); err != nil {
			fmt.Println(err)
			return
		}
		m := overlay.Moment{T: 1.7 + float64(i)/120, View: overlay.FullView()}
		fmt.Println(len(overlay.Draw(c, m, stack...)), "labels left out")
	}
	// Output:
	// 0 labels left out
	// 0 labels left out
	// 0 labels left out
}
