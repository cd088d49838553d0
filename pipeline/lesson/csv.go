package lesson

import (
	"encoding/csv"
	"io"
	"strconv"

	"strokereel/track"
)

// Observed is one object's track in pixels and its path in metres; Path is
// empty when nothing gives the scale.
type Observed struct {
	Track track.Track
	Path  track.Path
}

// trackHeader is the first line of track.csv and path.csv.
var trackHeader = []string{"frame", "t_s", "object", "x_px", "y_px", "u_px", "seen", "x_m", "y_m"}

// WriteTracks writes one row per frame and object; cells of what was not seen
// are empty.
func WriteTracks(w io.Writer, objects []Observed) error {
	out := csv.NewWriter(w)
	if err := out.Write(trackHeader); err != nil {
		return err
	}
	return out.WriteAll(TrackRows(objects))
}

// TrackRows are the rows of a track file.
func TrackRows(objects []Observed) [][]string {
	var rows [][]string
	for _, o := range objects {
		metres := map[int]track.Point{}
		for _, p := range o.Path.Points {
			metres[p.Frame] = p
		}
		for _, s := range o.Track.Samples {
			row := make([]string, len(trackHeader))
			row[0], row[1], row[2], row[6] = strconv.Itoa(s.Frame), fixed(s.T, 6), o.Track.Object, "0"
			if s.Seen {
				row[3], row[4], row[5], row[6] = fixed(s.X, 3), fixed(s.Y, 3), fixed(s.U, 3), "1"
				if p, ok := metres[s.Frame]; ok && p.Seen {
					row[7], row[8] = fixed(p.X, 6), fixed(p.Y, 6)
				}
			}
			rows = append(rows, row)
		}
	}
	return rows
}

func fixed(v float64, decimals int) string { return strconv.FormatFloat(v, 'f', decimals, 64) }
