package settings

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"strings"

	"gopkg.in/yaml.v3"
)

// longestFile bounds the work on a file given by mistake.
const longestFile = 1 << 20

// Parse returns the defaults changed by a settings file. Ranges are not checked
// yet, since a later source may still change a value.
func Parse(data []byte) (Settings, error) {
	s := Default()
	if len(data) > longestFile {
		return Settings{}, errors.New("is no settings file: more than 1 MB")
	}
	dec := yaml.NewDecoder(bytes.NewReader(data))
	var root yaml.Node
	switch err := dec.Decode(&root); {
	case err == io.EOF:
		return s, nil
	case err != nil:
		return Settings{}, fmt.Errorf("understanding the file: %s", strings.TrimPrefix(err.Error(), "yaml: "))
	}
	if err := dec.Decode(new(yaml.Node)); err != io.EOF {
		return Settings{}, errors.New("holds more than one document")
	}
	if len(root.Content) != 1 {
		return s, nil
	}
	a := assignment{fields: fields(&s), seen: map[string]int{}}
	if err := a.mapping("", root.Content[0]); err != nil {
		return Settings{}, err
	}
	return s, nil
}

// assignment carries the values of a document into the settings.
type assignment struct {
	fields []field
	seen   map[string]int // line of each key met
}

func (a *assignment) mapping(prefix string, n *yaml.Node) error {
	if n.Kind == yaml.ScalarNode && n.Tag == "!!null" {
		return nil // a section with nothing in it
	}
	if n.Kind != yaml.MappingNode {
		where := strings.TrimSuffix(prefix, ".")
		if where == "" {
			where = "the file"
		}
		return fmt.Errorf("line %d: %s: must hold lines of the form key: value", n.Line, where)
	}
	for k := 0; k+1 < len(n.Content); k += 2 {
		name, value := n.Content[k], n.Content[k+1]
		if err := a.entry(prefix+name.Value, name.Line, value); err != nil {
			return err
		}
	}
	return nil
}

func (a *assignment) entry(key string, line int, value *yaml.Node) error {
	if a.isSection(key) {
		return a.mapping(key+".", value)
	}
	f, err := find(a.fields, key)
	if err != nil {
		return fmt.Errorf("line %d: %w", line, err)
	}
	if first, again := a.seen[key]; again {
		return fmt.Errorf("line %d: %s: already given on line %d", line, key, first)
	}
	a.seen[key] = line
	if value.Kind != yaml.ScalarNode || value.Tag == "!!null" {
		return fmt.Errorf("line %d: %s: must have one value", line, key)
	}
	if err := f.set(value.Value); err != nil {
		return fmt.Errorf("line %d: %w", line, err)
	}
	return nil
}

func (a *assignment) isSection(key string) bool {
	for _, f := range a.fields {
		if strings.HasPrefix(f.key, key+".") {
			return true
		}
	}
	return false
}
