package main

import (
	"errors"
	"fmt"
	"maps"
	"slices"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"strokereel/pipeline/site/shelf"
)

func (a *app) publishCommand() *cobra.Command {
	var job shelf.Job
	var links bool
	c := &cobra.Command{
		Use:   "publish OUTBOX SHELF --cards INBOX",
		Short: "put finished lessons where students open them, as far as they agreed",
		Long: "publish makes a page of every finished lesson in OUTBOX, one of every student and lists for\n" +
			"the academy, and puts them on SHELF: a folder for a web server, or an S3-compatible bucket\n" +
			"as s3://NAME?region=REGION&endpoint=URL (its keys come from the environment, as\n" +
			"AWS_ACCESS_KEY_ID and AWS_SECRET_ACCESS_KEY). Only what changed is put there.\n\n" +
			"Shown are only students whose card student.yaml, anywhere below INBOX, holds a consent in\n" +
			"force to measuring and to publishing; when it ends, the next run takes the pages away, so\n" +
			"run it every night. Links cannot be guessed: --links says them. Who has the link of a\n" +
			"lesson also gets to the student's other lessons. It ends with 3 when something needs a\n" +
			"person: a card that cannot be read or a lesson that could not be published.",
		Example: "  strokereel publish results shelf --cards clips --dry-run\n" +
			"  strokereel publish results \"s3://lessons?region=eu-central-1\" --cards clips --links",
		Args: a.args(func(_ *cobra.Command, args []string) error {
			if len(args) != 2 {
				return fmt.Errorf("name the outbox and the shelf (got %d)", len(args))
			}
			if job.Cards == "" {
				return errors.New("say where the students' cards lie: --cards INBOX")
			}
			return nil
		}),
		RunE: func(cmd *cobra.Command, args []string) error {
			s, err := a.settings()
			if err != nil {
				return err
			}
			job.Outbox, job.Place, job.Look, job.Today, job.Told = args[0], args[1], s.Site, time.Now(), a.tellShelf
			r, err := shelf.Publish(cmd.Context(), job)
			if err != nil {
				return held(err)
			}
			return a.published(r, job.DryRun, links)
		},
	}
	c.Flags().StringVar(&job.Cards, "cards", "", "`INBOX` below which the students' cards lie")
	c.Flags().BoolVar(&job.DryRun, "dry-run", false, "only say what would be done")
	c.Flags().BoolVar(&links, "links", false, "say the links to give away")
	c.Flags().StringArrayVar(&job.Again, "again", nil, "publish `STUDENT` although withdrawn by hand (may be given again)")
	return c
}

// tellShelf says a line for each lesson that something happened to.
func (a *app) tellShelf(l shelf.Line) {
	if l.What == shelf.Unchanged {
		return
	}
	text := l.What
	if l.Why != "" {
		text += ": " + l.Why
	}
	a.voice.say("%s: %s", visible(l.Lesson), visible(text))
}

// published sums up, and gives away links when asked.
func (a *app) published(r shelf.Report, dry, links bool) error {
	for _, err := range r.Broken {
		a.voice.say("%v", err)
	}
	would := ""
	if dry {
		would = "would be "
	}
	a.voice.say("%s%d published, %d withdrawn, %d unchanged, %d held back", would,
		r.Count(shelf.Published, shelf.Updated), r.Count(shelf.Withdrawn), r.Count(shelf.Unchanged), r.Count(shelf.Held))
	if links && !dry {
		var b strings.Builder
		fmt.Fprintf(&b, "academy\t%s\n", r.Links.Academy)
		for _, code := range slices.Sorted(maps.Keys(r.Links.Coaches)) {
			fmt.Fprintf(&b, "coach %s\t%s\n", visible(code), r.Links.Coaches[code])
		}
		for _, code := range slices.Sorted(maps.Keys(r.Links.Students)) {
			fmt.Fprintf(&b, "student %s\t%s\n", visible(code), r.Links.Students[code])
		}
		if err := a.voice.result([]byte(b.String())); err != nil {
			return err
		}
	}
	if n := r.Count(shelf.Failed) + len(r.Broken); n > 0 {
		return coded{fmt.Errorf("%d of the lessons and cards need a person", n), exitSomeFailed, ""}
	}
	return nil
}

// visible shows a text from a file on one line of a terminal.
func visible(s string) string {
	q := fmt.Sprintf("%q", s)
	return strings.ReplaceAll(strings.ReplaceAll(q[1:len(q)-1], `\"`, `"`), `\\`, `\`)
}
