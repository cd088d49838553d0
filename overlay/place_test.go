package overlay

import (
	"fmt"
	"image"
	"math/rand/v2"
	"slices"
	"testing"
)

func TestPlace(t *testing.T) {
	frame := Box{0, 0, 400, 300}
	t.Run("on the wanted side when it is free", func(t *testing.T) {
		b, ok := place(frame, []claim{{w: 60, h: 20, at: Point{200, 150}, gap: 10, side: Above}}, nil, nil, 4)
		if want := (Box{170, 120, 230, 140}); !ok[0] || b[0] != want {
			t.Errorf("got %v, want %v", b[0], want)
		}
	})
	t.Run("pushed into the frame at its edge", func(t *testing.T) {
		b, ok := place(frame, []claim{{w: 60, h: 20, at: Point{395, 150}, gap: 10, side: Above}}, nil, nil, 4)
		if !ok[0] || b[0].X1 != 400 || b[0].Y1 != 140 {
			t.Errorf("got %v", b[0])
		}
	})
	t.Run("where it was as long as that is free", func(t *testing.T) {
		last := Box{300, 200, 360, 220}
		cl := claim{w: 60, h: 20, at: Point{200, 150}, gap: 10, last: &last}
		if b, _ := place(frame, []claim{cl}, nil, nil, 4); b[0] != last {
			t.Errorf("moved to %v", b[0])
		}
		if b, _ := place(frame, []claim{cl}, []Box{{310, 190, 320, 210}}, nil, 4); b[0].Overlaps(last) {
			t.Errorf("stayed at %v although it is taken", b[0])
		}
	})
	t.Run("left out rather than over something", func(t *testing.T) {
		if _, ok := place(frame, []claim{{w: 60, h: 20, at: Point{200, 150}, gap: 10}}, []Box{frame}, nil, 4); ok[0] {
			t.Error("placed in a frame that is full")
		}
		if _, ok := place(frame, []claim{{w: 500, h: 20, at: Point{200, 150}, gap: 10}}, nil, nil, 4); ok[0] {
			t.Error("placed although wider than the frame")
		}
	})
	t.Run("labels of one corner stand below one another", func(t *testing.T) {
		b, ok := place(frame, []claim{{w: 60, h: 20, gap: 10, slot: TopLeft}, {w: 90, h: 20, gap: 10, slot: TopLeft}}, nil, nil, 4)
		if !ok[1] || b[0].Y0 != 0 || b[1].X0 != 0 || b[1].Y0 < b[0].Y1+4 || b[1].Y0 > b[0].Y1+10 {
			t.Errorf("got %v", b)
		}
	})
	t.Run("at the opposite corner rather than far below its own", func(t *testing.T) {
		tall := Box{0, 0, 300, 600}
		cl := claim{w: 60, h: 20, gap: 10, slot: TopLeft}
		if b, ok := place(tall, []claim{cl}, []Box{{0, 0, 100, 60}}, nil, 4); !ok[0] || b[0].X0 != 0 || b[0].Y0 > 70 {
			t.Errorf("below something low it stands at %v", b[0])
		}
		if b, ok := place(tall, []claim{cl}, []Box{{0, 0, 100, 200}}, nil, 4); !ok[0] || b[0].X1 != 300 || b[0].Y0 != 0 {
			t.Errorf("below something high it stands at %v", b[0])
		}
		if b, ok := place(tall, []claim{cl}, []Box{{0, 0, 300, 200}}, nil, 4); !ok[0] || b[0].X1 != 300 || b[0].Y0 < 200 {
			t.Errorf("below something wide it stands at %v", b[0])
		}
	})
}

// Whatever is asked, no label overlaps another, leaves the frame or covers what
// is to stay clear, nor what it should avoid when there is room elsewhere; and one
// is left out only when there is no room on the grid
// that is searched last.
func TestPlaceProperty(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	placed := 0
	for trial := range 400 {
		frame := Box{0, 0, 200 + 800*r.Float64(), 200 + 800*r.Float64()}
		spot := func() Point { return Point{frame.X1 * (1.2*r.Float64() - 0.1), frame.Y1 * (1.2*r.Float64() - 0.1)} }
		claims := make([]claim, 1+r.IntN(12))
		for i := range claims {
			claims[i] = claim{w: 20 + 180*r.Float64(), h: 15 + 50*r.Float64(), at: spot(), gap: 10,
				slot: Slot(r.IntN(7)), side: Side(r.IntN(4)), line: r.IntN(2) == 0}
			if r.IntN(4) == 0 {
				p := spot()
				claims[i].last = &Box{p.X, p.Y, p.X + claims[i].w, p.Y + claims[i].h}
			}
		}
		clear := make([]Box, r.IntN(8))
		for i := range clear {
			clear[i] = Around(spot(), 5+60*r.Float64())
		}
		avoid := make([]Box, r.IntN(4))
		for i := range avoid {
			avoid[i] = Around(spot(), 5+90*r.Float64())
		}
		boxes, ok := place(frame, claims, clear, avoid, 3)
		for i, b := range boxes {
			if !ok[i] {
				continue
			}
			placed++
			if err := check(frame, b, i, boxes, ok, clear); err != nil {
				t.Fatalf("trial %d, label %d at %v: %v", trial, i, b, err)
			}
			if stayed := claims[i].last != nil && *claims[i].last == b; !stayed && b.overlapsAny(avoid) {
				taken := slices.Concat(clear, avoid)
				for j := range i {
					if ok[j] {
						taken = append(taken, boxes[j].Grow(3))
					}
				}
				free := func(b Box) bool { return b.Within(frame) && !b.overlapsAny(taken) }
				if room, found := claims[i].search(frame, free); found {
					t.Fatalf("trial %d, label %d at %v lies on what it should avoid, and %v is free", trial, i, b, room)
				}
			}
		}
	}
	if placed < 1500 {
		t.Errorf("only %d labels found a place", placed)
	}
}

func check(frame, b Box, i int, boxes []Box, ok []bool, clear []Box) error {
	if !b.Within(frame) {
		return fmt.Errorf("leaves the frame %v", frame)
	}
	for j, o := range boxes {
		if j != i && ok[j] && b.Overlaps(o) {
			return fmt.Errorf("overlaps label %d at %v", j, o)
		}
	}
	for _, k := range clear {
		if b.Overlaps(k) {
			return fmt.Errorf("covers %v", k)
		}
	}
	return nil
}

// labelled is an element that only has labels.
type labelled []Label

func (l labelled) Draw(*Canvas, Moment)           {}
func (l labelled) Labels(*Canvas, Moment) []Label { return l }

// The same on the pixels: with leaders and all, nothing is drawn on the objects
// of the moment unless a label speaks of a place inside one.
func TestLabelsLeaveObjectsUntouched(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 6))
	for trial := range 60 {
		img := background(r, 480, 270)
		before := append([]uint8(nil), img.Pix...)
		m := Moment{View: View{Scale: 0.5}}
		for i := range 1 + r.IntN(5) {
			m.Objects = append(m.Objects, Object{Name: fmt.Sprint(i), X: 960 * r.Float64(), Y: 540 * r.Float64(), Radius: 10 + 60*r.Float64()})
		}
		var labels labelled
		for i := range 1 + r.IntN(8) {
			labels = append(labels, Label{Key: fmt.Sprint(i), Rows: []Row{Say("label"), Quiet("second row")},
				At: Point{480 * r.Float64(), 270 * r.Float64()}, Side: Side(r.IntN(4)), Slot: Slot(r.IntN(3))})
		}
		Draw(begin(t, img), m, labels)
		for _, o := range m.Objects {
			k := Around(m.At(o), o.Radius*m.View.Scale)
			inner := k.Grow(-2).Pixels().Intersect(image.Rect(0, 0, 480, 270))
			for y := inner.Min.Y; y < inner.Max.Y; y++ {
				for x := inner.Min.X; x < inner.Max.X; x++ {
					if i := img.PixOffset(x, y); string(img.Pix[i:i+4]) != string(before[i:i+4]) {
						t.Fatalf("trial %d: the object around %v was drawn on at %d,%d", trial, m.At(o), x, y)
					}
				}
			}
		}
	}
}

func TestLabelsStayFromPictureToPicture(t *testing.T) {
	c := begin(t, image.NewRGBA(image.Rect(0, 0, 640, 360)))
	label := labelled{{Key: "a", Rows: []Row{Say("label")}, At: Point{320, 180}, Stay: true}}
	ball := Object{Name: "ball", X: 320, Y: 150, Radius: 30}
	Draw(c, Moment{View: FullView(), Objects: []Object{ball}}, label)
	moved := c.places["a"]
	Draw(c, Moment{View: FullView()}, label)
	if c.places["a"] != moved {
		t.Error("the label jumped back as soon as there was room")
	}
	c.Forget()
	Draw(c, Moment{View: FullView()}, label)
	if c.places["a"] == moved {
		t.Error("the label did not choose anew after a cut")
	}
}

func TestView(t *testing.T) {
	v := View{Scale: 2, X: 10, Y: 20}
	if p := v.At(3, 4); p != (Point{17, 29}) {
		t.Errorf("got %v, want 17, 29", p)
	}
	v = View{Scale: 1, X: 100, Mirror: true}
	if p := v.At(0, 0); p != (Point{99.5, 0.5}) {
		t.Errorf("mirrored: got %v, want 99.5, 0.5", p)
	}
	if (View{}).Usable() {
		t.Error("a view without scale is said to be usable")
	}
}
