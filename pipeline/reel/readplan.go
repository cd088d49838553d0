package reel

import (
	"encoding/json"
	"fmt"
)

// ReadPlan understands a reel.json; one of another form is an error.
func ReadPlan(data []byte) (Plan, error) {
	var p Plan
	if err := json.Unmarshal(data, &p); err != nil || p.Schema != Schema || p.Rate <= 0 || p.Width <= 0 || p.Height <= 0 {
		return Plan{}, fmt.Errorf("it is not of the form %s", Schema)
	}
	return p, nil
}
