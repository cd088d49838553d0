package labels

import (
	"bytes"
	"encoding/json"
	"maps"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"strokereel/track"
)

// few are labels with all that a file can hold.
func few() Set {
	s := NewSet()
	s.Sizes["S-014/before.mp4"] = [2]int{1920, 1080}
	s.Sizes["after.mp4"] = [2]int{1080, 1920}
	s.Points[Place{"S-014/before.mp4", 120, track.Putter}] = Point{X: 812.25, Y: 903.5}
	s.Points[Place{"S-014/before.mp4", 120, track.LeadElbow}] = Point{X: 790.125, Y: 402, Hidden: true}
	s.Points[Place{"S-014/before.mp4", 7, track.Ball}] = Point{X: 0, Y: 0}
	s.Points[Place{"after.mp4", 3, "flag"}] = Point{X: 10, Y: 20.0625}
	s.Moments[Moment{"S-014/before.mp4", 1, track.Impact}] = 2.34375
	s.Moments[Moment{"S-014/before.mp4", 2, track.Start}] = 5
	return s
}

func TestLabelsComeBackAsTheyWere(t *testing.T) {
	dir := t.TempDir()
	want := few()
	if err := want.Save(dir); err != nil {
		t.Fatal(err)
	}
	got, err := Read(dir, InFile)
	if err != nil {
		t.Fatal(err)
	}
	if !maps.Equal(got.Points, want.Points) || !maps.Equal(got.Moments, want.Moments) || !maps.Equal(got.Sizes, want.Sizes) {
		t.Errorf("got %+v\nwant %+v", got, want)
	}
	again := t.TempDir()
	if err := got.Save(again); err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{PlacesFile, MomentsFile} {
		a, errA := os.ReadFile(filepath.Join(dir, name))
		b, errB := os.ReadFile(filepath.Join(again, name))
		if errA != nil || errB != nil || !bytes.Equal(a, b) {
			t.Errorf("%s is not the same the second time", name)
		}
	}
}

// foreign is a file as another labelling program writes it: its own order of
// keypoints, fields that we do not know.
const foreign = `{"licenses":[],"info":{"contributor":"x"%s},
"images":[{"id":90,"width":640,"height":360,"file_name":"S-014/before.mp4/frame-000012.jpg","license":0}],
"annotations":[{"id":5,"image_id":90,"category_id":7,"keypoints":[100.5,50.5,2,0,0,0,7,8,1],"num_keypoints":2,"bbox":[0,0,1,1],"area":1,"iscrowd":0,"attributes":{}}],
"categories":[{"id":7,"name":"player","supercategory":"","keypoints":["ball","cap","putter"],"skeleton":[]}]}`

func TestHalfAPixelIsNeverGuessed(t *testing.T) {
	read := func(extra string, c Centre) (Set, error) {
		s := NewSet()
		return s, s.readCOCO(strings.NewReader(strings.Replace(foreign, "%s", extra, 1)), c)
	}
	ball, putter := Place{"S-014/before.mp4", 12, track.Ball}, Place{"S-014/before.mp4", 12, track.Putter}
	for _, c := range []struct {
		extra string
		told  Centre
		want  Point
	}{
		{"", AtZero, Point{X: 100.5, Y: 50.5}},
		{"", AtHalf, Point{X: 100, Y: 50}},
		{`,"pixel_centre":0.5`, InFile, Point{X: 100, Y: 50}},
		{`,"pixel_centre":0`, InFile, Point{X: 100.5, Y: 50.5}},
		{`,"pixel_centre":0`, AtHalf, Point{X: 100, Y: 50}},
	} {
		s, err := read(c.extra, c.told)
		if err != nil {
			t.Errorf("%q, %q: %v", c.extra, c.told, err)
			continue
		}
		if s.Points[ball] != c.want || len(s.Points) != 2 || !s.Points[putter].Hidden {
			t.Errorf("%q, %q: %v, want the ball at %v", c.extra, c.told, s.Points, c.want)
		}
	}
	if _, err := read("", InFile); err == nil || !strings.Contains(err.Error(), "--pixel-centre") {
		t.Errorf("a file that does not say it is read: %v", err)
	}
	if _, err := read(`,"pixel_centre":0.25`, InFile); err == nil {
		t.Error("a centre at a quarter is believed")
	}
}

func TestReadRefuses(t *testing.T) {
	broken := strings.Replace(foreign, "%s", `,"pixel_centre":0`, 1)
	for _, c := range []struct{ name, from, to, want string }{
		{"no JSON", broken, "<xml>", "is no COCO file"},
		{"numbers missing", "[100.5,50.5,2,0,0,0,7,8,1]", "[1,2,2]", "has 3 numbers"},
		{"no such picture", `"image_id":90`, `"image_id":91`, "is of no picture"},
		{"a picture of no frame", "frame-000012.jpg", "IMG_12.jpg", "is not called"},
	} {
		s := NewSet()
		if err := s.readCOCO(strings.NewReader(strings.Replace(broken, c.from, c.to, 1)), InFile); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v, want %q", c.name, err, c.want)
		}
	}
	for _, c := range []struct{ rows, want string }{
		{"clip,stroke,t_s\n", "the column event is missing"},
		{"clip,stroke,event,t_s\na.mp4,0,impact,1\n", "line 2: the stroke"},
		{"clip,stroke,event,t_s\na.mp4,1,bounce,1\n", "must be one of start, top"},
		{"clip,stroke,event,t_s\na.mp4,1,impact,NaN\n", "must be a time"},
		{"clip,stroke,event,t_s\na.mp4,1,impact,1\na.mp4,1,impact,2\n", "line 3: impact of stroke 1 of a.mp4 is marked twice"},
	} {
		s := NewSet()
		if err := s.readMoments(strings.NewReader(c.rows)); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%q: %v, want %q", c.rows, err, c.want)
		}
	}
}

func TestEventsInAnyColumnsAndUnmarkedOnes(t *testing.T) {
	s := NewSet()
	if err := s.readMoments(strings.NewReader("t_s,remark,event,clip,stroke\n2.5,sure,impact,a.mp4,1\n,hidden,stop,a.mp4,1\n")); err != nil {
		t.Fatal(err)
	}
	if len(s.Moments) != 1 || s.Moments[Moment{"a.mp4", 1, track.Impact}] != 2.5 {
		t.Errorf("got %v", s.Moments)
	}
}

// Differences of 3, -1 and 1 px along x and of 0 along y: half of the mean square
// of both axes is (9+1+1)/3/2, and half of that again is a variance of one mark.
func TestAgreement(t *testing.T) {
	a, b := NewSet(), NewSet()
	for k, d := range []float64{3, -1, 1} {
		p := Place{"a.mp4", k, track.Ball}
		a.Points[p], b.Points[p] = Point{X: 100, Y: 50}, Point{X: 100 + d, Y: 50}
	}
	a.Points[Place{"a.mp4", 9, track.Ball}] = Point{}
	a.Moments[Moment{"a.mp4", 1, track.Impact}], b.Moments[Moment{"a.mp4", 1, track.Impact}] = 2, 2.01
	got := Agree(a, b)
	if len(got) != 2 {
		t.Fatalf("got %+v", got)
	}
	if g := got[0]; g.Name != track.Ball || g.N != 3 || g.Only != 1 || math.Abs(g.SD-math.Sqrt(11./3/2/2)) > 1e-12 || g.Bias != [2]float64{1, 0} || g.Worst != 3 || g.Where != "a.mp4/frame-000000.png" {
		t.Errorf("ball: %+v", g)
	}
	if g := got[1]; g.Name != track.Impact || math.Abs(g.SD-0.01/math.Sqrt2) > 1e-12 || math.Abs(g.Bias[0]-0.01) > 1e-12 {
		t.Errorf("impact: %+v", g)
	}
	m := Mean(a, b)
	if at := m.Points[Place{"a.mp4", 0, track.Ball}]; at.X != 101.5 || math.Abs(m.Moments[Moment{"a.mp4", 1, track.Impact}]-2.005) > 1e-12 {
		t.Errorf("mean: %+v", m)
	}
}

func TestBoxHoldsTheMarks(t *testing.T) {
	var b bytes.Buffer
	s := few()
	if err := s.WritePlaces(&b); err != nil {
		t.Fatal(err)
	}
	var out coco
	if err := json.Unmarshal(b.Bytes(), &out); err != nil {
		t.Fatal(err)
	}
	for _, a := range out.Annotations {
		n := 0
		for k := 0; k < len(a.Keypoints); k += 3 {
			if a.Keypoints[k+2] == 0 {
				continue
			}
			n++
			// A pixel's centre is half a pixel from the corner that boxes count from.
			if x, y := a.Keypoints[k]+0.5, a.Keypoints[k+1]+0.5; x < a.Box[0] || x > a.Box[0]+a.Box[2] || y < a.Box[1] || y > a.Box[1]+a.Box[3] {
				t.Errorf("annotation %d: (%g, %g) lies outside %v", a.ID, x, y, a.Box)
			}
		}
		if n != a.NumKeypoints || a.Area != a.Box[2]*a.Box[3] {
			t.Errorf("annotation %d: %d marks, said to be %d; box %v, area %g", a.ID, n, a.NumKeypoints, a.Box, a.Area)
		}
	}
}

// What is read must come back as it was when it is written and read again.
func FuzzReadPlaces(f *testing.F) {
	var b bytes.Buffer
	if err := few().WritePlaces(&b); err != nil {
		f.Fatal(err)
	}
	f.Add(b.String())
	f.Add(strings.Replace(foreign, "%s", `,"pixel_centre":0.5`, 1))
	f.Fuzz(func(t *testing.T, in string) {
		s := NewSet()
		if s.readCOCO(strings.NewReader(in), InFile) != nil {
			return
		}
		var out bytes.Buffer
		if err := s.WritePlaces(&out); err != nil {
			t.Fatal(err)
		}
		again := NewSet()
		if err := again.readCOCO(&out, InFile); err != nil || !maps.Equal(s.Points, again.Points) {
			t.Errorf("%v, then %v: %v", s.Points, again.Points, err)
		}
	})
}

func FuzzReadMoments(f *testing.F) {
	f.Add("clip,stroke,event,t_s\na.mp4,1,impact,2.5\n\"b,\".mp4,2,stop,\n")
	f.Fuzz(func(t *testing.T, in string) {
		s := NewSet()
		if s.readMoments(strings.NewReader(in)) != nil {
			return
		}
		var out bytes.Buffer
		if err := s.WriteMoments(&out); err != nil {
			t.Fatal(err)
		}
		again := NewSet()
		if err := again.readMoments(&out); err != nil || !maps.Equal(s.Moments, again.Moments) {
			t.Errorf("%v, then %v: %v", s.Moments, again.Moments, err)
		}
	})
}
