package labels

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"maps"
	"math"
	"path"
	"regexp"
	"slices"
	"strconv"

	"strokereel/track"
)

// coco is the file of COCO keypoints.
type coco struct {
	Info        info         `json:"info"`
	Images      []image      `json:"images"`
	Annotations []annotation `json:"annotations"`
	Categories  []category   `json:"categories"`
}

type info struct {
	Description string   `json:"description"`
	PixelCentre *float64 `json:"pixel_centre,omitempty"`
}

type image struct {
	ID       int    `json:"id"`
	FileName string `json:"file_name"`
	Width    int    `json:"width"`
	Height   int    `json:"height"`
}

type annotation struct {
	ID           int        `json:"id"`
	ImageID      int        `json:"image_id"`
	CategoryID   int        `json:"category_id"`
	Keypoints    []float64  `json:"keypoints"` // x, y, v for each name: v 0 not marked, 1 hidden, 2 visible
	NumKeypoints int        `json:"num_keypoints"`
	Box          [4]float64 `json:"bbox"` // x, y, width, height; the picture's corner is (0, 0)
	Area         float64    `json:"area"`
	IsCrowd      int        `json:"iscrowd"`
}

type category struct {
	ID        int      `json:"id"`
	Name      string   `json:"name"`
	Keypoints []string `json:"keypoints"`
	Skeleton  [][2]int `json:"skeleton"` // pairs of keypoints, from 1
}

// objects are the keypoints of our files.
var objects = []string{
	track.Putter, track.Ball, track.ShaftFoot, track.ShaftTop, track.Cap, track.LeadShoulder, track.TrailShoulder,
	track.LeadElbow, track.TrailElbow, track.LeadWrist, track.TrailWrist, track.Head, track.Nose, track.LeadEar, track.TrailEar,
	track.LeadHip, track.TrailHip, track.LeadAnkle, track.TrailAnkle, track.LeadHand,
}

// bones are drawn by labelling programs between keypoints.
var bones = [][2]string{
	{track.ShaftFoot, track.ShaftTop}, {track.LeadShoulder, track.TrailShoulder}, {track.LeadShoulder, track.LeadElbow},
	{track.LeadElbow, track.LeadWrist}, {track.TrailShoulder, track.TrailElbow}, {track.TrailElbow, track.TrailWrist},
	{track.LeadHip, track.TrailHip}, {track.LeadHip, track.LeadAnkle}, {track.TrailHip, track.TrailAnkle},
}

const description = "places marked in clips of putting strokes; a keypoint's x is to the right and y down, in pixels of the upright picture, " +
	"and the centre of the top-left pixel is (0, 0): pixel_centre"

// imageName is what the picture of a frame is called.
func imageName(clip string, frame int) string { return fmt.Sprintf("%s/frame-%06d.png", clip, frame) }

var frameName = regexp.MustCompile(`^frame-(\d+)\.[A-Za-z]+$`)

// WritePlaces writes the marked places as COCO keypoints.
func (s Set) WritePlaces(w io.Writer) error {
	zero := 0.0
	out := coco{Info: info{description, &zero}, Images: []image{}, Annotations: []annotation{},
		Categories: []category{{ID: 1, Name: "stroke", Keypoints: s.names()}}}
	for _, b := range bones {
		out.Categories[0].Skeleton = append(out.Categories[0].Skeleton, [2]int{slices.Index(objects, b[0]) + 1, slices.Index(objects, b[1]) + 1})
	}
	names := out.Categories[0].Keypoints
	for _, p := range slices.SortedFunc(maps.Keys(s.Points), byPlace) {
		at := s.Points[p]
		name := imageName(p.Clip, p.Frame)
		if n := len(out.Images); n == 0 || out.Images[n-1].FileName != name {
			size := s.Sizes[p.Clip]
			out.Images = append(out.Images, image{n + 1, name, size[0], size[1]})
			out.Annotations = append(out.Annotations, annotation{ID: n + 1, ImageID: n + 1, CategoryID: 1, Keypoints: make([]float64, 3*len(names))})
		}
		a := &out.Annotations[len(out.Annotations)-1]
		v := 2.0
		if at.Hidden {
			v = 1
		}
		copy(a.Keypoints[3*slices.Index(names, p.Object):], []float64{at.X, at.Y, v})
		a.NumKeypoints++
	}
	for i := range out.Annotations {
		out.Annotations[i].enclose()
	}
	e := json.NewEncoder(w)
	return e.Encode(out)
}

// names are the usual keypoints and whatever else was marked.
func (s Set) names() []string {
	out := slices.Clone(objects)
	var others []string
	for p := range s.Points {
		if !slices.Contains(out, p.Object) && !slices.Contains(others, p.Object) {
			others = append(others, p.Object)
		}
	}
	slices.Sort(others)
	return append(out, others...)
}

// enclose sets the box around the marked places: programs expect one. The corner
// of the picture is (0, 0) in it, half a pixel before the first centre.
func (a *annotation) enclose() {
	x0, y0, x1, y1 := math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)
	for k := 0; k+2 < len(a.Keypoints); k += 3 {
		if x, y := a.Keypoints[k], a.Keypoints[k+1]; a.Keypoints[k+2] > 0 {
			x0, y0, x1, y1 = min(x0, x), min(y0, y), max(x1, x), max(y1, y)
		}
	}
	a.Box = [4]float64{x0, y0, x1 - x0 + 1, y1 - y0 + 1}
	a.Area = a.Box[2] * a.Box[3]
}

// readCOCO adds the places of a file.
func (s Set) readCOCO(r io.Reader, centre Centre) error {
	var in coco
	if err := json.NewDecoder(r).Decode(&in); err != nil {
		return fmt.Errorf("is no COCO file: %w", err)
	}
	shift, err := in.Info.shift(centre)
	if err != nil {
		return err
	}
	names := map[int][]string{}
	for _, c := range in.Categories {
		names[c.ID] = c.Keypoints
	}
	images := map[int]Place{}
	for _, i := range in.Images {
		m := frameName.FindStringSubmatch(path.Base(i.FileName))
		clip := path.Dir(i.FileName)
		if m == nil || clip == "." {
			return fmt.Errorf("the picture %q is not called CLIP/frame-NNNNNN.png", i.FileName)
		}
		frame, err := strconv.Atoi(m[1])
		if err != nil {
			return fmt.Errorf("the picture %q: %w", i.FileName, err)
		}
		images[i.ID] = Place{Clip: clip, Frame: frame}
		s.Sizes[clip] = [2]int{i.Width, i.Height}
	}
	for _, a := range in.Annotations {
		at, ok := images[a.ImageID]
		if !ok {
			return fmt.Errorf("annotation %d is of no picture", a.ID)
		}
		if len(a.Keypoints) != 3*len(names[a.CategoryID]) {
			return fmt.Errorf("annotation %d has %d numbers, its category has %d keypoints of three", a.ID, len(a.Keypoints), len(names[a.CategoryID]))
		}
		for k, object := range names[a.CategoryID] {
			x, y, v := a.Keypoints[3*k], a.Keypoints[3*k+1], a.Keypoints[3*k+2]
			if v == 0 {
				continue
			}
			at.Object = object
			if _, again := s.Points[at]; again {
				return fmt.Errorf("%s is marked twice in %s", object, imageName(at.Clip, at.Frame))
			}
			s.Points[at] = Point{x - shift, y - shift, v == 1}
		}
	}
	return nil
}

// shift is how far a file's coordinates lie beyond ours.
func (i info) shift(centre Centre) (float64, error) {
	switch {
	case centre == AtZero, centre == InFile && i.PixelCentre != nil && *i.PixelCentre == 0:
		return 0, nil
	case centre == AtHalf, centre == InFile && i.PixelCentre != nil && *i.PixelCentre == 0.5:
		return 0.5, nil
	case centre == InFile && i.PixelCentre == nil:
		return 0, errors.New("it does not say where the centre of the top-left pixel is: say --pixel-centre 0 or 0.5, as its program has it")
	}
	return 0, errors.New("the centre of the top-left pixel is at 0 or at 0.5")
}
