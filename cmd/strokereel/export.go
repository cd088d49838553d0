package main

import (
	"errors"
	"fmt"

	"github.com/spf13/cobra"

	"strokereel/pipeline/export"
)

func (a *app) exportCommand() *cobra.Command {
	var out string
	var without bool
	c := &cobra.Command{
		Use:   "export FOLDER... --out DIR",
		Short: "write results of whole folders as tidy tables",
		Long: "export finds all results below the folders, of measure, of runs and of nights, and writes tidy\n" +
			"tables to DIR, one observation a row: clips, settings, warnings, events, witnesses, measures,\n" +
			"uncertainty, tracks and paths, each as CSV, and dictionary.csv, which explains every column and\n" +
			"every name. Numbers are those of the reports to the last digit, in SI units; what was not\n" +
			"measured is an empty cell, never zero. The columns results and stroke join the tables.",
		Example: "  strokereel export runs/plain --out tables\n  strokereel export OUTBOX --out tables --without-tracks",
		Args: a.args(func(_ *cobra.Command, args []string) error {
			switch {
			case len(args) == 0:
				return errors.New("name the folders of results")
			case out == "":
				return errors.New("say where the tables go: --out DIR")
			}
			return nil
		}),
		RunE: func(cmd *cobra.Command, args []string) error {
			all, err := export.Find(args...)
			if err != nil {
				return err
			}
			err = export.Write(cmd.Context(), all, out, !without, func(done int) { a.voice.progress("writing tables", float64(done)/float64(len(all))) })
			if err != nil {
				return err
			}
			a.voice.say("tables of %s are in %s, explained in %s", clipCount(len(all)), out, export.DictionaryFile)
			return nil
		},
	}
	c.Flags().StringVar(&out, "out", "", "write the tables to `DIR`")
	c.Flags().BoolVar(&without, "without-tracks", false, "leave out the large tables of tracks and paths")
	return c
}

func clipCount(n int) string {
	if n == 1 {
		return "1 clip"
	}
	return fmt.Sprintf("%d clips", n)
}
