package shelf

import (
	"context"
	"fmt"
	"maps"
	"slices"

	"strokereel/pipeline/site"
)

// Withdraw takes a student's lesson from a shelf, or all of them when lesson is
// "", and keeps them from being published again.
func Withdraw(ctx context.Context, outbox, place, student, lesson string, o site.Options) ([]Line, error) {
	k, done, err := open(ctx, outbox, place, o)
	if err != nil {
		return nil, err
	}
	defer done()
	s := k.reg.students[student]
	if s == nil {
		return nil, fmt.Errorf("withdrawing: this shelf has nothing of the student %q", student)
	}
	names := slices.Sorted(maps.Keys(s.Lessons))
	s = k.reg.student(student)
	if lesson == "" {
		s.Withdrawn[everything] = true
	} else {
		if !slices.Contains(names, lesson) {
			return nil, fmt.Errorf("withdrawing: this shelf has no lesson %q of the student %q", lesson, student)
		}
		names = []string{lesson}
		s.Withdrawn[lesson] = true
	}
	var lines []Line
	for _, name := range names {
		if err := k.leave(s, name); err != nil {
			return nil, err
		}
		lines = append(lines, Line{name, student, Withdrawn, "by hand"})
	}
	if err := k.reg.save(s); err != nil {
		return nil, err
	}
	return lines, k.settle(ctx)
}
