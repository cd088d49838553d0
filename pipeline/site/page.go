package site

import (
	"bytes"
	"embed"
	"encoding/base64"
	"fmt"
	"html/template"
	"strings"
	"unicode"
	"unicode/utf8"
)

//go:embed pages
var pages embed.FS

// Version grows when pages change, so that those published are made again.
const Version = "2"

// Policy is what a page may load (Content Security Policy level 3): its own
// files, and pictures and captions that are part of it. From a disk "self" means
// nothing to some browsers, there "file:" stands for it.
const Policy = "default-src 'none'; img-src 'self' file: data:; media-src 'self' file: data:; style-src 'self' file:; script-src 'self' file:; base-uri 'none'; form-action 'none'"

// templates are parsed anew for each set of pages: cheap beside a film.
func templates() *template.Template {
	return template.Must(template.New("").Funcs(template.FuncMap{"policy": func() string { return Policy }}).ParseFS(pages, "pages/*.html"))
}

// base is what every page has.
type base struct {
	Title, Style, Script string
	Look                 Look
	Note                 string
	Public               bool // it tells nothing
}

// folder gathers the files of a page.
type folder struct{ files []File }

// add names data by its content and returns the name.
func (f *folder) add(name string, data []byte) string {
	file := named(name, data)
	f.files = append(f.files, file)
	return file.Name
}

// addFile names a file on disk by its content.
func (f *folder) addFile(name, path string) (string, error) {
	file, err := namedFile(name, path)
	f.files = append(f.files, file)
	return file.Name, err
}

// base readies what every page has; script is a file in pages, or "".
func (f *folder) base(title, script string, l Look) base {
	b := base{Title: title + " · " + l.Name, Look: l}
	b.Style = f.add("site.css", []byte(strings.NewReplacer("ACCENT_LIGHT", l.light, "ACCENT_DARK", l.dark).Replace(asset("site.css"))))
	if script != "" {
		b.Script = f.add(script, []byte(asset(script)))
	}
	return b
}

func asset(name string) string {
	data, err := pages.ReadFile("pages/" + name)
	if err != nil {
		panic(err) // part of the program
	}
	return string(data)
}

// page carries out a template; the page comes last, after all it points at.
func (f *folder) page(name, tmpl string, data any) error {
	var b bytes.Buffer
	if err := templates().ExecuteTemplate(&b, tmpl, data); err != nil {
		return fmt.Errorf("writing the page %q: %w", name, err)
	}
	f.files = append(f.files, File{Name: name, Data: b.Bytes()})
	return nil
}

// Blank is a page that tells nothing, for where a server would list names.
func Blank(l Look) ([]File, error) {
	var f folder
	b := f.base("Nothing is listed here", "", l)
	b.Public = true
	err := f.page(Index, "blank.html", b)
	return f.files, err
}

// captions are WebVTT as part of the page: from a disk browsers read captions
// from no other file.
func captions(vtt []byte) template.URL {
	if len(vtt) == 0 {
		return ""
	}
	return template.URL("data:text/vtt;base64," + base64.StdEncoding.EncodeToString(vtt))
}

// visible makes a text from a sheet safe to show: characters that are not seen,
// or that turn the writing around, get a visible stand-in.
func visible(s string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsControl(r) || unicode.Is(unicode.Bidi_Control, r) || r == '\u2028' || r == '\u2029' {
			return utf8.RuneError
		}
		return r
	}, s)
}

// fileName makes a name for a file of a text from a sheet.
func fileName(s string) string {
	return strings.Map(func(r rune) rune {
		if r == '-' || r == '_' || r >= '0' && r <= '9' || r >= 'A' && r <= 'Z' || r >= 'a' && r <= 'z' {
			return r
		}
		return '-'
	}, s)
}
