package settings

import (
	"bytes"
	"fmt"
	"reflect"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"strokereel/track"
)

const (
	intro = "# Settings of strokereel. Keep only the lines you change: what is missing stays at its\n" +
		"# default. Give the file with --settings FILE, or one setting with --set key=value,\n" +
		"# e.g. --set track.marker.colour=magenta.\n"
	lineWidth = 96
)

// Sample returns the commented settings file with every key at its default.
func Sample() []byte { return File(Default()) }

// File returns the commented settings file with these values.
func File(s Settings) []byte { return write(&s) }

// write returns the settings, a pointer to a struct, as a commented file.
func write(s any) []byte {
	var b bytes.Buffer
	b.WriteString(intro)
	all := sections(s)
	headed := map[string]bool{}
	for _, f := range fields(s) {
		for _, sec := range all {
			if strings.HasPrefix(f.key, sec.key+".") && !headed[sec.key] {
				headed[sec.key] = true
				head(&b, sec)
			}
		}
		entry(&b, f)
	}
	return b.Bytes()
}

func head(b *bytes.Buffer, s section) {
	indent := indentOf(s.key)
	b.WriteString("\n")
	if s.help != "" {
		comment(b, indent, sentence(s.help))
	}
	fmt.Fprintf(b, "%s%s:\n", indent, lastName(s.key))
}

func entry(b *bytes.Buffer, f field) {
	indent := indentOf(f.key)
	comment(b, indent, sentence(f.help))
	if facts := f.facts(); facts != "" {
		comment(b, indent, facts)
	}
	text := f.text()
	if f.value.Kind() == reflect.String || parsesItself(f.value) {
		text = quoted(text)
	}
	fmt.Fprintf(b, "%s%s: %s\n", indent, lastName(f.key), text)
}

// facts names the unit and the range.
func (f field) facts() string {
	var parts []string
	if f.unit != "" {
		parts = append(parts, "Unit "+f.unit)
	}
	if low, high, ok := track.ParseRange(f.span); ok {
		parts = append(parts, fmt.Sprintf("from %s to %s", plain(low), plain(high)))
	}
	if len(parts) == 0 {
		return ""
	}
	return sentence(strings.Join(parts, ", "))
}

func plain(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }

// quoted leaves plain words as they are and quotes everything that YAML might
// take for something else.
func quoted(text string) string {
	for k, r := range text {
		if !(k > 0 && r == '-' || r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' || r == '_') {
			return strconv.Quote(text)
		}
	}
	switch strings.ToLower(text) {
	case "", "null", "true", "false", "yes", "no", "on", "off", "y", "n":
		return strconv.Quote(text)
	}
	return text
}

func indentOf(key string) string { return strings.Repeat("  ", strings.Count(key, ".")) }

func lastName(key string) string { return key[strings.LastIndex(key, ".")+1:] }

func sentence(s string) string {
	r, n := utf8.DecodeRuneInString(s)
	if n == 0 {
		return s
	}
	return string(unicode.ToUpper(r)) + s[n:] + "."
}

// comment writes text as comment lines of at most lineWidth characters.
func comment(b *bytes.Buffer, indent, text string) {
	line := indent + "#"
	for _, word := range strings.Fields(text) {
		if len(line)+1+len(word) > lineWidth && line != indent+"#" {
			b.WriteString(line + "\n")
			line = indent + "#"
		}
		line += " " + word
	}
	b.WriteString(line + "\n")
}
