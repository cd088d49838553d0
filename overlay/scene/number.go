package scene

import (
	"math"
	"strconv"
	"strings"

	"strokereel/track"
)

// Value is a measure as it is shown.
type Value struct {
	Text     string // "24.1 cm", "at least 1.6 s", or a dash
	Interval string // "± 0.5" in the unit of Text, or empty
	Reason   string // why there is only a dash
}

// String joins the parts.
func (v Value) String() string {
	s := v.Text
	if v.Interval != "" {
		s += " " + v.Interval
	}
	if v.Reason != "" {
		s += " " + v.Reason
	}
	return s
}

// unit is how a quantity is shown: its SI value times factor, with a suffix.
type unit struct {
	factor float64
	suffix string
}

// unitOf chooses the unit of a measure: lengths of a stroke in cm, distances of
// a putt in m.
func unitOf(m track.Measure) unit {
	switch {
	case m.ID == "tempo":
		return unit{1, " : 1"}
	case m.Unit == "m" && m.ID == "roll_distance":
		return unit{1, " m"}
	case m.Unit == "m/s2":
		return unit{1, " m/s²"}
	case m.Unit == "m":
		return unit{100, " cm"}
	case m.Unit == "deg":
		return unit{1, "°"}
	case m.Unit == "1", m.Unit == "":
		return unit{1, ""}
	}
	return unit{1, " " + m.Unit}
}

// Show puts a measure into words. The uncertainty decides the digits: it gets
// one significant digit, or two when its first is 1, and the value as many
// decimals. Lower bounds are rounded down and intervals outward.
func Show(m track.Measure) Value {
	u := unitOf(m)
	switch {
	case m.Status == track.NotMeasured || !(m.Status == track.Measured || m.Status == track.AtLeast || m.Status == track.Predicted):
		return Value{Text: wordDash, Reason: m.Reason}
	case m.Word != "":
		if w, ok := answerWords[m.Word]; ok {
			return Value{Text: w}
		}
		return Value{Text: m.Word}
	case m.Lo95 != 0 || m.Hi95 != 0:
		return showInterval(m, u)
	case !finite(m.Value) || !(m.U95 > 0) || math.IsInf(m.U95, 0):
		return Value{Text: wordDash, Reason: m.Reason}
	}
	v, u95 := m.Value*u.factor, m.U95*u.factor
	d := decimals(u95)
	if m.Status == track.AtLeast {
		d = min(d, 2)
		return Value{Text: wordAtLeast + " " + number(floorTo(v-u95, d), d) + u.suffix}
	}
	if d == mostDecimals {
		u95 = -floorTo(-u95, d) // cut off, so never shown as smaller than it is
	}
	return Value{Text: number(v, d) + u.suffix, Interval: "± " + number(u95, d)}
}

// showInterval shows a measure whose interval is not symmetric.
func showInterval(m track.Measure, u unit) Value {
	if !finite(m.Lo95) || !finite(m.Hi95) || m.Hi95 < m.Lo95 {
		return Value{Text: wordDash, Reason: m.Reason}
	}
	lo, hi := m.Lo95*u.factor, m.Hi95*u.factor
	d := decimals((hi - lo) / 2)
	text := number(floorTo(lo, d), d) + " " + wordTo + " " + number(-floorTo(-hi, d), d) + u.suffix
	switch m.Status {
	case track.AtLeast:
		return Value{Text: wordAtLeast + " " + number(floorTo(lo, d), d) + u.suffix}
	case track.Predicted:
		return Value{Text: wordExpected + " " + text}
	}
	return Value{Text: text}
}

// Bare is a value in words where it need not be said that it is expected. A wish,
// whose interval is a point, is exact.
func Bare(m track.Measure) string {
	if u := unitOf(m); m.Status == track.Predicted && m.Lo95 == m.Value && m.Hi95 == m.Value {
		return strconv.FormatFloat(math.Round(10*m.Value*u.factor)/10, 'f', -1, 64) + u.suffix
	}
	return strings.TrimPrefix(Show(m).String(), wordExpected+" ")
}

// mostDecimals is where nobody reads on: a millisecond, a hundredth of a
// millimetre.
const mostDecimals = 3

// decimals is how many decimals a value with this uncertainty deserves.
func decimals(u95 float64) int {
	if !(u95 > 0) {
		return 0
	}
	e := math.Floor(math.Log10(u95))
	d := -int(e)
	if u95/math.Pow(10, e) < 1.95 {
		d++
	}
	return min(max(d, 0), mostDecimals)
}

func floorTo(v float64, decimals int) float64 {
	p := math.Pow(10, float64(decimals))
	return math.Floor(v*p+1e-6) / p // 1e-6 undoes what binary fractions take away
}

// number writes a number with a true minus sign and no minus before zero.
func number(v float64, decimals int) string {
	s := strconv.FormatFloat(v, 'f', decimals, 64)
	if rest, ok := strings.CutPrefix(s, "-"); ok {
		if strings.Trim(rest, "0.") == "" {
			return rest
		}
		return "−" + rest
	}
	return s
}

func finite(v float64) bool { return !math.IsNaN(v) && !math.IsInf(v, 0) }

// showTime puts the time of an event into words.
func showTime(e track.Event) Value {
	return Show(track.Measure{Value: e.T, U95: track.Coverage * e.U, Unit: "s", Status: e.Status, Reason: e.Reason})
}

// Factor is what a measure's SI value is multiplied by where it is shown.
func Factor(m track.Measure) float64 { return unitOf(m).factor }

// UnitName is the unit in which a measure is shown, empty for a pure number.
func UnitName(m track.Measure) string { return strings.TrimSpace(unitOf(m).suffix) }
