package main

import (
	"bytes"
	"fmt"
	"math"
	"slices"
	"strconv"

	"strokereel/overlay/scene"
	"strokereel/pipeline/lesson"
	"strokereel/track"
)

// budgetWords puts an answer into tables for people.
func budgetWords(r *lesson.Rolling) []byte {
	var b bytes.Buffer
	fmt.Fprintf(&b, "green: %s (%s)\nplayer: %s\n", scene.Bare(r.Green.Speed.Computed("green_speed")), r.Green.Text, r.Player.Text)
	for _, k := range r.Budgets {
		fmt.Fprintf(&b, "\n%s, %s\n", metres(k.DistanceM), k.Text)
		if h := r.AtHole; h != nil {
			fmt.Fprintf(&b, "  (%s to the hole and %s past it)\n", metres(k.DistanceM-h.BeyondM), metres(h.BeyondM))
		}
		if k.Reason != "" {
			fmt.Fprintf(&b, "  %s\n", k.Reason)
			continue
		}
		for _, id := range lesson.BudgetOrder() {
			m := k.Values[id].Computed(id)
			if m.Status != track.Predicted {
				continue
			}
			fmt.Fprintf(&b, "  %-22s %s", scene.MeasureName(id), scene.Bare(m))
			if m.How != "" {
				fmt.Fprintf(&b, ", %s", m.How)
			}
			b.WriteString("\n")
		}
	}
	if h := r.AtHole; h != nil {
		fmt.Fprintf(&b, "\nat the hole: %s; a ball falls in freely up to %.2f m/s and, with the rim's help, up to %.2f m/s\n",
			scene.Bare(h.Speed.Computed("speed")), h.FallsFreely, h.WithRim)
	}
	b.WriteString("\nof skilled players, for comparison and not as an aim:\n")
	var sources []string
	for _, v := range r.Published {
		n := slices.Index(sources, v.Source) + 1
		if n == 0 {
			sources = append(sources, v.Source)
			n = len(sources)
		}
		fmt.Fprintf(&b, "  %-22s %s [%d]\n", v.What, v.Text, n)
	}
	for i, s := range sources {
		fmt.Fprintf(&b, "  [%d] %s\n", i+1, s)
	}
	return b.Bytes()
}

func metres(m float64) string { return strconv.FormatFloat(math.Round(m*100)/100, 'f', -1, 64) + " m" }
