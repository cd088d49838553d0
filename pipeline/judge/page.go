package judge

import (
	"embed"
	"fmt"
	"html/template"
	"io"
	"math"
	"strconv"
)

//go:embed *.html
var pageFiles embed.FS

var pages = template.Must(template.New("").Funcs(template.FuncMap{
	"plain": plain,
	"num": func(v float64) string {
		if math.IsNaN(v) {
			return "–"
		}
		return strconv.FormatFloat(v, 'f', 3, 64)
	},
}).ParseFS(pageFiles, "*.html"))

// WritePage writes the comparison as a page that needs nothing else.
func (c *Comparison) WritePage(w io.Writer) error {
	lines, err := c.linesPlot()
	if err != nil {
		return err
	}
	clips, err := c.clipsPlot()
	if err != nil {
		return err
	}
	err = pages.ExecuteTemplate(w, "compare.html", map[string]any{"C": c, "LinesPlot": lines, "ClipsPlot": clips, "About": c.about(), "Totals": c.totals(),
		"Better": c.Turned(better), "Worse": c.Turned(worse), "Clips": worst(c.Clips)})
	if err != nil {
		return fmt.Errorf("writing the page: %w", err)
	}
	return nil
}

// Cells are a line's columns in words.
func (l Line) Cells(judged bool) []string {
	return []string{l.mean(l.A), l.mean(l.B), l.difference(), strconv.Itoa(l.Diff.N), count(l.Lost), count(l.Gained), l.Verdict(judged)}
}
