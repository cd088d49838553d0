package practice

import (
	"fmt"
	"os"
)

// Options are the settings of practice sheets.
type Options struct {
	// File is empty for the drills that come with the program.
	File string `key:"file" help:"text file (YAML) with the coach's own drills; empty takes the drills that come with the program, which are a good start for an own file"`
}

// DefaultOptions returns the drills of the program.
func DefaultOptions() Options { return Options{} }

// Validate accepts every name of a file; Load says what is wrong with the file.
func (o Options) Validate() error { return nil }

// Load reads the drills.
func Load(o Options) (Book, error) {
	if o.File == "" {
		return Parse(standard)
	}
	data, err := os.ReadFile(o.File)
	if err != nil {
		return Book{}, fmt.Errorf("reading the drills: %w", err)
	}
	b, err := Parse(data)
	if err != nil {
		return Book{}, fmt.Errorf("reading the drills %q: %w", o.File, err)
	}
	return b, nil
}
