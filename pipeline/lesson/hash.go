package lesson

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"io"
	"os"
)

// Hash returns the SHA-256 of a file's bytes as hex digits.
func Hash(path string) (string, error) {
	f, err := os.Open(path)
	if err != nil {
		return "", fmt.Errorf("fingerprinting: %w", err)
	}
	defer f.Close()
	h := sha256.New()
	if _, err := io.Copy(h, f); err != nil {
		return "", fmt.Errorf("fingerprinting %q: %w", path, err)
	}
	return hex.EncodeToString(h.Sum(nil)), nil
}
