package runs

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"strokereel/pipeline/settings"
)

// Axis is a setting with the values at which it is tried.
type Axis struct {
	Key    string
	Values []string
}

// ParseAxis reads key=a,b,c.
func ParseAxis(text string) (Axis, error) {
	key, list, ok := strings.Cut(text, "=")
	a := Axis{Key: strings.TrimSpace(key)}
	for v := range strings.SplitSeq(list, ",") {
		if v = strings.TrimSpace(v); v != "" && !slices.Contains(a.Values, v) {
			a.Values = append(a.Values, v)
		}
	}
	if !ok || a.Key == "" || len(a.Values) == 0 {
		return a, fmt.Errorf("--over %q: write key=a,b,c", text)
	}
	return a, nil
}

// mostProfiles bounds a grid typed by mistake.
const mostProfiles = 1000

// Grid returns the profile itself and one for every combination of the axes'
// values, named after what it sets. Combinations that make no sense, as settings
// may bound each other, are returned as words; one that is as the profile itself
// is left out.
func Grid(p Profile, axes []Axis) (profiles []Profile, senseless []string, err error) {
	combined := []Profile{{Base: p.Base, Sets: p.Sets}}
	for _, a := range axes {
		var next []Profile
		for _, c := range combined {
			for _, v := range a.Values {
				next = append(next, Profile{Base: c.Base, Sets: append(slices.Clone(c.Sets), a.Key+"="+v)})
			}
		}
		if combined = next; len(combined) > mostProfiles {
			return nil, nil, fmt.Errorf("the grid has more than %d profiles: try fewer values", mostProfiles)
		}
	}
	own := p.Base
	if err := errors.Join(own.Apply(p.Sets), own.Validate()); err != nil {
		return nil, nil, err
	}
	profiles = []Profile{p}
	for _, c := range combined {
		s := c.Base
		if err := s.Apply(c.Sets); err != nil {
			return nil, nil, err
		}
		c.Name = nameOf(c.Sets[len(p.Sets):])
		if err := s.Validate(); err != nil {
			senseless = append(senseless, c.Name+": "+err.Error())
			continue
		}
		if s.Fingerprint(settings.Measuring()...) != own.Fingerprint(settings.Measuring()...) {
			profiles = append(profiles, c)
		}
	}
	if len(profiles) == 1 {
		return nil, senseless, errors.New("the grid has no profile that differs from the settings given")
	}
	return profiles, senseless, nil
}

// nameOf names a folder after sets: the last parts of their keys and the values.
func nameOf(sets []string) string {
	var parts []string
	for _, s := range sets {
		key, value, _ := strings.Cut(s, "=")
		parts = append(parts, key[strings.LastIndex(key, ".")+1:]+"="+strings.Map(safe, value))
	}
	return strings.Join(parts, " ")
}

// safe keeps a value within one name of a folder.
func safe(r rune) rune {
	if r == '/' || r == 0 {
		return '-'
	}
	return r
}
