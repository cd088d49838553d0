package night

import (
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"
)

// plain makes a name or message safe to show on one line: characters that are
// not seen, or that turn the writing around, get a visible stand-in.
func plain(s string) string {
	return strings.Map(func(r rune) rune {
		switch {
		case r < ' ':
			return 0x2400 + r // control pictures
		case r == 0x7f:
			return 0x2421
		case unicode.IsControl(r), r == '\u2028', r == '\u2029', unicode.Is(unicode.Bidi_Control, r):
			return utf8.RuneError
		}
		return r
	}, s)
}

// upper begins a sentence.
func upper(s string) string {
	r, n := utf8.DecodeRuneInString(s)
	if n == 0 {
		return s
	}
	return string(unicode.ToUpper(r)) + s[n:]
}

func sorted[V any](m map[string]V) []string { return slices.Sorted(maps.Keys(m)) }

// count writes a number with its noun.
func count(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return strconv.Itoa(n) + " " + many
}

// amount writes bytes in decimal units.
func amount(bytes int64) string {
	switch f := float64(bytes); {
	case f >= 9.95e8:
		return fmt.Sprintf("%.1f GB", f/1e9)
	case f >= 9.5e5:
		return fmt.Sprintf("%.0f MB", f/1e6)
	default:
		return fmt.Sprintf("%.0f kB", f/1e3)
	}
}

// span writes a duration as people say it.
func span(d time.Duration) string {
	switch {
	case d >= time.Hour:
		return fmt.Sprintf("%d h %02d min", int(d.Hours()), int(d.Minutes())%60)
	case d >= time.Minute:
		return fmt.Sprintf("%d min %02d s", int(d.Minutes()), int(d.Seconds())%60)
	}
	return fmt.Sprintf("%.0f s", d.Seconds())
}
