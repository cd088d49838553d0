package reel

import (
	"encoding/json"
	"fmt"

	"strokereel/overlay/scene"
	"strokereel/pipeline/lesson"
)

// Schema names the form of reel.json.
const Schema = "strokereel/reel/1"

// Version grows when reels, or what lies beside them, come out otherwise than
// before, so that they are made again.
const Version = "12"

// Shape is the shape of a reel's frame.
type Shape string

// The shapes.
const (
	Wide Shape = "wide" // 1920x1080
	Tall Shape = "tall" // 1080x1920, for phones held upright
)

// Kinds of segment.
const (
	Opening = "opening"
	Full    = "full"   // one clip at full speed
	Slow    = "slow"   // one clip slow, drawn on, with stops
	Both    = "both"   // before and after side by side
	Beside  = "beside" // after beside somebody else's
	Closing = "closing"
)

// Plan is a reel before it is made.
type Plan struct {
	Schema   string    `json:"schema"`
	Shape    Shape     `json:"shape"`
	Width    int       `json:"width"`
	Height   int       `json:"height"`
	Rate     int       `json:"rate"` // frames a second
	Frames   int       `json:"frames"`
	LengthS  float64   `json:"length_s"`
	Sources  []Source  `json:"sources"`
	Segments []Segment `json:"segments"`
	Sounds   []Sound   `json:"sounds"`
	Stills   []Still   `json:"stills"`
}

// Source is a clip a reel shows.
type Source struct {
	Role      string  `json:"role"` // before, after, reference or drill
	File      string  `json:"file"` // name of the clip
	SHA256    string  `json:"sha256"`
	Width     int     `json:"width"`
	Height    int     `json:"height"`
	Stroke    int     `json:"stroke"` // index in its report, -1 without numbers
	Notice    string  `json:"notice,omitempty"`
	ImpactS   float64 `json:"impact_s"`    // the moment it is lined up at
	LinedUpBy string  `json:"lined_up_by"` // impact, mark, ball, click, or nothing
	FromS     float64 `json:"from_s"`      // what is shown of it
	ToS       float64 `json:"to_s"`
	PxPerM    float64 `json:"px_per_m,omitempty"` // as in its report; 0 without a ruler
	U95       float64 `json:"px_per_m_u95,omitempty"`
	Ground    *Ground `json:"ground,omitempty"` // null without numbers

	size [2]float64     // of its pictures as they are placed, px
	head scene.HeadRoom // where the head is while it is shown
	slot int            // index of its findings
}

// Ground is the putt line in a clip: the point of the ground below the address,
// px of the clip, and one metre toward the target.
type Ground struct {
	X  float64 `json:"x_px"`
	Y  float64 `json:"y_px"`
	DX float64 `json:"dx_px"`
	DY float64 `json:"dy_px"`
}

// Segment is a stretch of the reel.
type Segment struct {
	Kind    string    `json:"kind"`
	Chapter string    `json:"chapter"`
	Start   int       `json:"start_frame"`
	Frames  int       `json:"frames"`
	Panes   []Pane    `json:"panes,omitempty"`
	Page    *Page     `json:"page,omitempty"`
	Texts   []Caption `json:"captions"`
}

// Pane is a clip in a part of the frame.
type Pane struct {
	Source int     `json:"source"`
	Box    Box     `json:"box"`            // of its picture
	Head   int     `json:"head,omitempty"` // px above the box that are its text's
	View   View    `json:"view"`
	Mirror bool    `json:"mirror,omitempty"`   // left to right, before all else
	Turn   float64 `json:"turn_deg,omitempty"` // clockwise, about its middle before it is placed, so that the ground is level
	Runs   []Run   `json:"runs"`
	Notice string  `json:"notice,omitempty"` // what must be said of it
}

// canvas is the part of the frame that is drawn on.
func (p Pane) canvas() Box {
	b := p.Box
	return Box{b.X, b.Y - p.Head, b.W, b.H + p.Head}
}

// Box is a part of the frame, px.
type Box struct {
	X int `json:"x"`
	Y int `json:"y"`
	W int `json:"w"`
	H int `json:"h"`
}

// View places a clip's picture in a box: scaled, then moved (px of the box, to
// where the picture's top left corner comes to lie).
type View struct {
	Scale float64 `json:"scale"`
	X     float64 `json:"x"`
	Y     float64 `json:"y"`
}

// Run is frames at one speed: frame i shows the clip at FromS + i*Speed/Rate.
// At a stop the speed is 0 and At names the moment.
type Run struct {
	Frames int     `json:"frames"`
	FromS  float64 `json:"from_s"`
	Speed  float64 `json:"speed"`
	At     string  `json:"at,omitempty"`
}

// Names of stops beyond those of events.
const atEnd = "end"

// Page is a page of text.
type Page struct {
	Title string              `json:"title"`
	Lines []string            `json:"lines,omitempty"`
	Clips []PageClip          `json:"clips,omitempty"`
	Rows  []lesson.Difference `json:"rows,omitempty"`
	Notes []string            `json:"notes,omitempty"`
}

// PageClip names a clip on the opening page.
type PageClip struct {
	Role string `json:"role"`
	Text string `json:"text"`
}

// Caption is a text of the subtitles.
type Caption struct {
	Start  int    `json:"start_frame"`
	Frames int    `json:"frames"`
	Text   string `json:"text"`
}

// Sound is sound of a clip: FromS to ToS, beginning at second AtS of the reel.
type Sound struct {
	Source int     `json:"source"`
	FromS  float64 `json:"from_s"`
	ToS    float64 `json:"to_s"`
	AtS    float64 `json:"at_s"`
}

// Still is a picture that is kept of the reel.
type Still struct {
	Name  string `json:"name"`
	Frame int    `json:"frame"`
}

// Time is the clip's time that frame i of the runs shows, and the stop it is
// in, if any.
func Time(runs []Run, i, rate int) (t float64, run Run) {
	for _, r := range runs {
		if i < r.Frames {
			return r.FromS + float64(i)*r.Speed/float64(rate), r
		}
		i -= r.Frames
	}
	last := runs[len(runs)-1]
	return last.FromS + float64(max(last.Frames-1, 0))*last.Speed/float64(rate), last
}

// Marshal returns the plan as indented JSON.
func (p Plan) Marshal() ([]byte, error) {
	b, err := json.MarshalIndent(p, "", "  ")
	if err != nil {
		return nil, fmt.Errorf("writing the plan of the reel: %w", err)
	}
	return append(b, '\n'), nil
}
