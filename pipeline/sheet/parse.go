package sheet

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"maps"
	"math"
	"slices"
	"strconv"
	"strings"

	"gopkg.in/yaml.v3"
)

// longestFile bounds the work on a file given by mistake, bytes.
const longestFile = 256 << 10

// setter takes the value of a key.
type setter func(*yaml.Node) error

// entries are the keys that a mapping may have.
type entries map[string]setter

// parse reads one YAML document of known keys; an empty file says nothing.
func parse(data []byte, known entries) error {
	if len(data) > longestFile {
		return errors.New("is no sheet: more than 256 kB")
	}
	dec := yaml.NewDecoder(bytes.NewReader(data))
	var root yaml.Node
	switch err := dec.Decode(&root); {
	case err == io.EOF:
		return nil
	case err != nil:
		return fmt.Errorf("is not written as key: value lines: %s", strings.TrimPrefix(err.Error(), "yaml: "))
	}
	if err := dec.Decode(new(yaml.Node)); err != io.EOF {
		return errors.New("holds more than one document")
	}
	if len(root.Content) != 1 {
		return nil
	}
	return fill(root.Content[0], known)
}

// fill gives each value of a mapping to the setter of its key.
func fill(n *yaml.Node, known entries) error {
	return each(n, func(key string, value *yaml.Node) error {
		set, ok := known[key]
		if !ok {
			return fmt.Errorf("is not a known key, known are %s", strings.Join(slices.Sorted(maps.Keys(known)), ", "))
		}
		return set(value)
	})
}

// each visits the entries of a mapping; errors are given line and key.
func each(n *yaml.Node, visit func(key string, value *yaml.Node) error) error {
	if empty(n) {
		return nil
	}
	if n.Kind != yaml.MappingNode {
		return errors.New("must hold lines of the form key: value")
	}
	first := map[string]int{}
	for k := 0; k+1 < len(n.Content); k += 2 {
		key, value := n.Content[k], n.Content[k+1]
		at := func(err error) error { return fmt.Errorf("line %d: %q %w", key.Line, key.Value, err) }
		if key.Kind != yaml.ScalarNode {
			return fmt.Errorf("line %d: a key must be a plain word", key.Line)
		}
		if line, again := first[key.Value]; again {
			return at(fmt.Errorf("is already given on line %d", line))
		}
		first[key.Value] = key.Line
		if err := visit(key.Value, value); err != nil {
			return at(err)
		}
	}
	return nil
}

func empty(n *yaml.Node) bool { return n.Kind == yaml.ScalarNode && n.Tag == "!!null" }

// scalar returns the text of a single value.
func scalar(n *yaml.Node) (string, error) {
	if n.Kind != yaml.ScalarNode {
		return "", errors.New("must have one value")
	}
	return strings.TrimSpace(n.Value), nil
}

// text takes a value that passes a check; a key without a value says nothing.
func text(to *string, check func(string) error) setter {
	return func(n *yaml.Node) error {
		v, err := scalar(n)
		if err != nil || empty(n) || v == "" {
			return err
		}
		if err := check(v); err != nil {
			return err
		}
		*to = v
		return nil
	}
}

func word(to *string, allowed ...string) setter {
	return text(to, func(v string) error {
		if !slices.Contains(allowed, v) {
			return fmt.Errorf("must be one of %s (got %q)", strings.Join(allowed, ", "), v)
		}
		return nil
	})
}

func number(to *float64, low, high float64) setter {
	var v string
	return func(n *yaml.Node) error {
		return text(&v, func(v string) error {
			f, err := strconv.ParseFloat(v, 64)
			if err != nil || math.IsNaN(f) || f < low || f > high {
				return fmt.Errorf("must be a number from %g to %g (got %q)", low, high, v)
			}
			*to = f
			return nil
		})(n)
	}
}

func yesNo(to *bool) setter {
	var v string
	return func(n *yaml.Node) error {
		err := word(&v, "true", "false", "yes", "no")(n)
		*to = v == "true" || v == "yes"
		return err
	}
}
