package scene

import (
	"math"

	"strokereel/overlay"
)

// Tag says in the corner which clip is shown and how fast.
type Tag struct {
	Slot overlay.Slot
	Name string // the role's name unless another is wanted
	// Speed is film speed over true speed: 1 at full speed, 0.4 when 2.5 times
	// slower. Zero says nothing about it.
	Speed float64

	role overlay.Role
}

// NewTag names a role.
func NewTag(role overlay.Role, speed float64) *Tag {
	return &Tag{Slot: overlay.TopLeft, Name: RoleName(role), Speed: speed, role: role}
}

// Draw draws nothing but the label.
func (t *Tag) Draw(*overlay.Canvas, overlay.Moment) {}

// Labels returns the tag.
func (t *Tag) Labels(*overlay.Canvas, overlay.Moment) []overlay.Label {
	sign := t.role.Sign()
	rows := []overlay.Row{{{Text: t.Name, Size: overlay.Body, Weight: overlay.Bold, Colour: overlay.Chalk}}}
	if s := speedWords(t.Speed); s != "" {
		rows = append(rows, overlay.Quiet(s))
	}
	return []overlay.Label{{Key: "tag", Slot: t.Slot, Sign: &sign, Rows: rows, Stay: true}}
}

// speedWords says how fast a clip is played.
func speedWords(speed float64) string {
	switch {
	case !(speed > 0) || speed > 1.005:
		return ""
	case speed > 0.995:
		return wordFullSpeed
	}
	times := 1 / speed
	if whole := math.Round(times); math.Abs(times-whole) < 0.05 {
		return number(whole, 0) + wordTimesSlower
	}
	return number(times, 1) + wordTimesSlower
}
