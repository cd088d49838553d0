package shelf

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"maps"
	"path"
	"slices"
	"strings"

	"strokereel/pipeline/site"
)

// keeper changes what stands on a shelf.
type keeper struct {
	store   Store
	reg     *register
	look    site.Look
	lookKey string
	put     int // files put there
}

// fingerprint of any values whose JSON says all about them.
func fingerprint(parts ...any) string {
	data, err := json.Marshal(parts)
	if err != nil {
		panic(err) // plain data
	}
	sum := sha256.Sum256(data)
	return hex.EncodeToString(sum[:12])
}

// fill makes a folder hold these files and no others: first what its pages show,
// then the pages that nothing leads to yet, then those that are there, and the
// one it is opened by last. What lies in folders below it is left alone.
func (k *keeper) fill(ctx context.Context, dir string, files []site.File) error {
	prefix := dir
	if prefix != "" {
		prefix += "/"
	}
	have, err := k.store.List(ctx, prefix)
	if err != nil {
		return err
	}
	turn := func(f site.File) int {
		_, there := have[prefix+f.Name]
		switch {
		case path.Ext(f.Name) != ".html":
			return 0
		case f.Name == site.Index:
			return 3
		case there:
			return 2
		}
		return 1
	}
	files = slices.SortedStableFunc(slices.Values(files), func(a, b site.File) int { return turn(a) - turn(b) })
	want := map[string]bool{}
	for _, f := range files {
		name := prefix + f.Name
		want[name] = true
		size, err := f.Size()
		if err != nil {
			return err
		}
		if is, ok := have[name]; ok && is == size && path.Ext(name) != ".html" {
			continue // its name says what it holds
		}
		if err := k.store.Put(ctx, name, f); err != nil {
			return err
		}
		k.put++
	}
	for _, name := range slices.Sorted(maps.Keys(have)) {
		below := strings.Contains(strings.TrimPrefix(name, prefix), "/")
		if want[name] || below {
			continue
		}
		if err := k.store.Remove(ctx, name); err != nil {
			return err
		}
	}
	return nil
}

// clear takes away a folder and all below it: outer pages first, then inner
// pages, then what they showed.
func (k *keeper) clear(ctx context.Context, dir string) error {
	have, err := k.store.List(ctx, dir+"/")
	if err != nil {
		return err
	}
	rank := func(name string) int {
		if path.Ext(name) == ".html" {
			return strings.Count(name, "/")
		}
		return 1 << 10
	}
	names := slices.SortedFunc(maps.Keys(have), func(a, b string) int {
		if r := rank(a) - rank(b); r != 0 {
			return r
		}
		return strings.Compare(a, b)
	})
	for _, name := range names {
		if err := k.store.Remove(ctx, name); err != nil {
			return err
		}
	}
	return nil
}

// settle brings the students' pages and the lists up to what the register says
// can be opened, then takes away what is no longer linked to.
func (k *keeper) settle(ctx context.Context) error {
	for _, code := range slices.Sorted(maps.Keys(k.reg.students)) {
		s := k.reg.students[code]
		if s.Leaving {
			continue
		}
		if err := k.studentPage(ctx, s); err != nil {
			return err
		}
	}
	if err := k.lists(ctx); err != nil {
		return err
	}
	for _, code := range slices.Sorted(maps.Keys(k.reg.students)) {
		if err := k.sweep(ctx, k.reg.students[code]); err != nil {
			return err
		}
	}
	return nil
}

// studentPage makes a student's page where it is not up to date.
func (k *keeper) studentPage(ctx context.Context, s *studentRecord) error {
	there, is := s.there(), s.madeOf(k.lookKey)
	if s.Page == is || len(there) == 0 {
		return nil
	}
	files, err := site.StudentPage(s.Student, there, k.look)
	if err != nil {
		return err
	}
	s.Page = ""
	if err := k.reg.save(s); err != nil {
		return err
	}
	if err := k.fill(ctx, s.Folder, files); err != nil {
		return err
	}
	s.Page = is
	return k.reg.save(s)
}

// sweep takes away what is to go of a student.
func (k *keeper) sweep(ctx context.Context, s *studentRecord) error {
	if !s.Leaving && len(s.Gone) == 0 {
		return nil
	}
	if !s.Leaving {
		if len(s.there()) == 0 { // another lesson is only being put there
			if err := k.store.Remove(ctx, s.Folder+"/"+site.Index); err != nil {
				return err
			}
		}
		for _, dir := range s.Gone {
			if err := k.clear(ctx, s.Folder+"/"+dir); err != nil {
				return err
			}
		}
		s.Gone = nil
		return k.reg.save(s)
	}
	if err := k.clear(ctx, s.Folder); err != nil {
		return err
	}
	withdrawn := s.Withdrawn
	if err := k.reg.forget(s); err != nil || len(withdrawn) == 0 {
		return err
	}
	// A person's word outlives the pages; should they come back, it is under
	// another link.
	next := k.reg.student(s.Student)
	next.Withdrawn = withdrawn
	return k.reg.save(next)
}

// leave marks a lesson to be taken away, or with the last one the student.
func (k *keeper) leave(s *studentRecord, lesson string) error {
	l, ok := s.Lessons[lesson]
	if !ok {
		return nil
	}
	delete(s.Lessons, lesson)
	if len(s.Lessons) == 0 {
		s.Leaving = true
	} else {
		s.Gone = append(s.Gone, l.Folder)
	}
	return k.reg.save(s)
}

// lists makes the academy's and the coaches' lists, and the page in the shelf's
// root, where they are not up to date.
func (k *keeper) lists(ctx context.Context) error {
	all, byCoach := k.listed()
	for _, coach := range slices.Sorted(maps.Keys(byCoach)) {
		if k.reg.shelf.Coaches[coach] == "" {
			k.reg.shelf.Coaches[coach] = token()
		}
	}
	err := k.anew("", fingerprint(site.Version, k.lookKey), func() error { return k.blank(ctx) })
	if err != nil {
		return err
	}
	if err := k.list(ctx, k.reg.shelf.Academy, "All students", all); err != nil {
		return err
	}
	for _, coach := range slices.Sorted(maps.Keys(k.reg.shelf.Coaches)) {
		if err := k.list(ctx, k.reg.shelf.Coaches[coach], "Students of "+coach, byCoach[coach]); err != nil {
			return err
		}
	}
	return nil
}

func (k *keeper) list(ctx context.Context, dir, heading string, students []site.Listed) error {
	return k.anew(dir, fingerprint(site.Version, k.lookKey, heading, students), func() error {
		files, err := site.Lists(heading, students, k.look)
		if err != nil {
			return err
		}
		return k.fill(ctx, dir, files)
	})
}

// blank puts the page there that tells nothing, without asking what else is in
// the root: it is the whole shelf.
func (k *keeper) blank(ctx context.Context) error {
	files, err := site.Blank(k.look)
	if err != nil {
		return err
	}
	for _, f := range files {
		if err := k.store.Put(ctx, f.Name, f); err != nil {
			return err
		}
	}
	return nil
}

// anew makes a folder that concerns no single student, unless the one that is
// there has the same fingerprint.
func (k *keeper) anew(dir, is string, put func() error) error {
	lists := k.reg.shelf.Lists
	if lists[dir] == is {
		return nil
	}
	delete(lists, dir)
	if err := k.reg.saveShelf(); err != nil {
		return err
	}
	if err := put(); err != nil {
		return err
	}
	lists[dir] = is
	return k.reg.saveShelf()
}

// listed gathers what can be opened, for all and for each coach.
func (k *keeper) listed() (all []site.Listed, byCoach map[string][]site.Listed) {
	byCoach = map[string][]site.Listed{}
	for _, code := range slices.Sorted(maps.Keys(k.reg.students)) {
		s := k.reg.students[code]
		there := s.there()
		if len(there) == 0 {
			continue
		}
		for i := range there {
			there[i].Before, there[i].After = nil, nil // lists show no numbers
		}
		all = append(all, site.Listed{Student: code, Folder: s.Folder, Lessons: there})
		own := map[string][]site.Record{}
		for _, r := range there {
			if r.Coach != "" {
				own[r.Coach] = append(own[r.Coach], r)
			}
		}
		for coach, lessons := range own {
			byCoach[coach] = append(byCoach[coach], site.Listed{Student: code, Folder: s.Folder, Lessons: lessons})
		}
	}
	return all, byCoach
}
