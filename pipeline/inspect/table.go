package inspect

import (
	"encoding/csv"
	"io"
	"strconv"

	"strokereel/track"
)

var tableHeader = []string{"frame", "t_s", "finder", "id", "x_px", "y_px", "half_width_px", "half_height_px",
	"found_x_px", "found_y_px", "radius_px", "score", "taken", "why"}

// writeTable writes one row per look. The score of a sticker is the misfit of its
// disc as a share of the contrast, that of a ball the rise of brightness across its
// edge in levels.
func (i *Inspection) writeTable(w io.Writer) error {
	out := csv.NewWriter(w)
	if err := out.Write(tableHeader); err != nil {
		return err
	}
	for _, g := range i.Looks {
		if err := out.Write(row(g)); err != nil {
			return err
		}
	}
	out.Flush()
	return out.Error()
}

func row(g track.Glance) []string {
	fixed := func(v float64, decimals int) string { return strconv.FormatFloat(v, 'f', decimals, 64) }
	r := []string{strconv.Itoa(g.Frame), fixed(g.T, 6), noun[g.Finder], "", fixed(g.X, 2), fixed(g.Y, 2), fixed(g.W, 1), fixed(g.H, 1),
		"", "", "", "", "0", g.Why.String()}
	if g.ID != track.NoID {
		r[3] = strconv.Itoa(g.ID)
	}
	if g.Found {
		r[8], r[9], r[10], r[11] = fixed(g.FX, 2), fixed(g.FY, 2), fixed(g.Radius, 2), fixed(g.Score, 3)
	}
	if g.Taken() {
		r[12] = "1"
	}
	return r
}
