package track

// Formula says how a value is found, for people who want to check it.
type Formula struct {
	What    string   // in words; empty when the report says it
	Text    string   // in the symbols of the budget
	Source  string   // where it is from
	Moments []string // events whose frames it is read from
	Objects []string // what is looked at there
}
