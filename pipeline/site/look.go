package site

import (
	"encoding/base64"
	"fmt"
	"html/template"
	"image/color"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"unicode/utf8"
)

// Options are the look of the academy.
type Options struct {
	// Name was chosen neutral: a page must have a name before anybody gives one.
	Name string `key:"name" help:"name of the academy or club at the head of every page"`
	// Contact is a line in the foot of every page.
	Contact string `key:"contact" help:"whom a student asks, a line in the foot of every page; empty leaves it out"`
	// Accent is the green of the morning page.
	Accent string `key:"accent" help:"colour of links and buttons as #rrggbb; it is darkened or lightened until it can be read on light and dark pages"`
	// Logo is a file, since a page asks nothing of other servers.
	Logo string `key:"logo" help:"picture at the head of every page, a PNG or JPEG file of at most 40 kB; empty leaves it out"`
}

// DefaultOptions returns a plain look.
func DefaultOptions() Options { return Options{Name: "Putting lessons", Accent: "#1f5a46"} }

var hexColour = regexp.MustCompile(`^#[0-9a-fA-F]{6}$`)

// longestLine bounds the texts of the academy, characters: two lines of a phone.
const longestLine = 90

// Validate names the first option that makes no sense.
func (o Options) Validate() error {
	switch {
	case strings.TrimSpace(o.Name) == "" || utf8.RuneCountInString(o.Name) > longestLine:
		return fmt.Errorf("name: must be a text of up to %d characters", longestLine)
	case utf8.RuneCountInString(o.Contact) > longestLine:
		return fmt.Errorf("contact: must be a text of up to %d characters", longestLine)
	case !hexColour.MatchString(o.Accent):
		return fmt.Errorf("accent: must be a colour as #1f5a46 (got %q)", o.Accent)
	}
	return nil
}

// Look is an academy's look, ready for pages.
type Look struct {
	Name, Contact string
	Logo          template.URL // the picture itself
	light, dark   string       // the accent on light and dark pages
}

// Grounds of the pages, as in site.css.
var (
	lightSheet = color.RGBA{0xff, 0xfd, 0xf8, 255}
	lightPage  = color.RGBA{0xf4, 0xf2, 0xec, 255}
	darkSheet  = color.RGBA{0x20, 0x24, 0x1f, 255}
	darkPage   = color.RGBA{0x17, 0x1a, 0x16, 255}
)

// textContrast is what text must have against its ground (WCAG 2.2, success
// criterion 1.4.3).
const textContrast = 4.5

// largestLogo keeps pages within their size, bytes.
const largestLogo = 40 << 10

// NewLook readies a look.
func NewLook(o Options) (Look, error) {
	if err := o.Validate(); err != nil {
		return Look{}, err
	}
	l := Look{Name: o.Name, Contact: o.Contact, light: toned(o.Accent, -1, lightSheet, lightPage), dark: toned(o.Accent, +1, darkSheet, darkPage)}
	if o.Logo == "" {
		return l, nil
	}
	data, err := os.ReadFile(o.Logo)
	if err != nil {
		return l, fmt.Errorf("reading the logo: %w", err)
	}
	kind := ""
	switch {
	case strings.HasPrefix(string(data), "\x89PNG\r\n\x1a\n"):
		kind = "image/png"
	case strings.HasPrefix(string(data), "\xff\xd8\xff"):
		kind = "image/jpeg"
	default:
		return l, fmt.Errorf("logo: %q must be a PNG or JPEG file", filepath.Base(o.Logo))
	}
	if len(data) > largestLogo {
		return l, fmt.Errorf("logo: %q must be at most 40 kB (got %d)", filepath.Base(o.Logo), len(data)/1000)
	}
	l.Logo = template.URL("data:" + kind + ";base64," + base64.StdEncoding.EncodeToString(data))
	return l, nil
}

// toned darkens (-1) or lightens (+1) a colour in small steps until it can be
// read on all grounds.
func toned(hex string, direction float64, grounds ...color.RGBA) string {
	n, err := strconv.ParseUint(hex[1:], 16, 32)
	if err != nil {
		panic(err) // Validate has seen it
	}
	c := color.RGBA{uint8(n >> 16), uint8(n >> 8), uint8(n), 255}
	toward := 0.0
	if direction > 0 {
		toward = 255
	}
	mixed := c
	for k := 0.0; k < 1; k += 0.02 {
		mix := func(v uint8) uint8 { return uint8(math.Round(float64(v) + (toward-float64(v))*k)) }
		mixed = color.RGBA{mix(c.R), mix(c.G), mix(c.B), 255}
		readable := true
		for _, g := range grounds {
			readable = readable && Contrast(mixed, g) >= textContrast
		}
		if readable {
			break
		}
	}
	return fmt.Sprintf("#%02x%02x%02x", mixed.R, mixed.G, mixed.B)
}

// Contrast is the ratio of two colours as WCAG 2.2 defines it.
func Contrast(a, b color.RGBA) float64 {
	x, y := luminance(a), luminance(b)
	return (max(x, y) + 0.05) / (min(x, y) + 0.05)
}

// luminance is the relative luminance of WCAG 2.2.
func luminance(c color.RGBA) float64 {
	linear := func(v uint8) float64 {
		s := float64(v) / 255
		if s <= 0.04045 {
			return s / 12.92
		}
		return math.Pow((s+0.055)/1.055, 2.4)
	}
	return 0.2126*linear(c.R) + 0.7152*linear(c.G) + 0.0722*linear(c.B)
}
