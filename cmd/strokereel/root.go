package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"

	"github.com/spf13/cobra"

	"strokereel/pipeline/settings"
)

// app is what the commands share.
type app struct {
	voice        *voice
	settingsFile string
	sets         []string
}

// run carries out one command line and returns the exit code.
func run(ctx context.Context, args []string, out, side io.Writer) int {
	a := &app{voice: newVoice(out, side)}
	root := a.root()
	root.SetArgs(args)
	root.SetOut(out)
	root.SetErr(side)
	err := root.ExecuteContext(ctx)
	if err != nil && ctx.Err() != nil {
		err = ctx.Err()
	}
	if err != nil {
		a.voice.complain(err)
	}
	a.voice.close()
	return exitCode(err)
}

func (a *app) root() *cobra.Command {
	root := &cobra.Command{
		Use:   "strokereel",
		Short: "measure putting strokes in phone clips",
		Long: "strokereel measures the strokes in face-on phone clips of a putting student:\n" +
			"events, lengths and speeds, each with its uncertainty.",
		Args: a.args(func(cmd *cobra.Command, args []string) error {
			if len(args) == 0 {
				return nil
			}
			return fmt.Errorf("unknown command %q", args[0])
		}),
		RunE:                       func(cmd *cobra.Command, _ []string) error { return cmd.Help() },
		SilenceErrors:              true,
		SilenceUsage:               true,
		SuggestionsMinimumDistance: 2,
	}
	root.CompletionOptions.DisableDefaultCmd = true
	flags := root.PersistentFlags()
	flags.StringVar(&a.settingsFile, "settings", "", "read settings from `FILE`")
	flags.StringArrayVar(&a.sets, "set", nil, "change one setting, `KEY=VALUE` (may be given again)")
	root.SetFlagErrorFunc(func(cmd *cobra.Command, err error) error {
		return usage(err, cmd.CommandPath()+" --help")
	})
	root.AddCommand(a.measureCommand(), a.compareCommand(), a.tuneCommand(), a.exportCommand(), a.labelsCommand(), a.explainCommand(), a.inspectCommand(), a.checkCommand(), a.reelCommand(), a.budgetCommand(), a.nightCommand(), a.watchCommand(), a.cardCommand(), a.publishCommand(), a.withdrawCommand(), a.eraseCommand(), a.serveCommand(),
		a.demoCommand(), a.settingsCommand(), a.versionCommand())
	return root
}

// noArgs is the check of a command that takes no arguments.
func noArgs(cmd *cobra.Command, args []string) error {
	if len(args) > 0 {
		return fmt.Errorf("%s takes no argument (got %q)", cmd.Name(), args[0])
	}
	return nil
}

// args makes what a check of arguments finds an error of usage.
func (a *app) args(check cobra.PositionalArgs) cobra.PositionalArgs {
	return func(cmd *cobra.Command, args []string) error {
		err := check(cmd, args)
		if err == nil {
			return nil
		}
		hint := cmd.CommandPath() + " --help"
		if !cmd.HasParent() && len(args) > 0 {
			if like := cmd.SuggestionsFor(args[0]); len(like) > 0 {
				hint = cmd.CommandPath() + " " + like[0]
			}
		}
		return usage(err, hint)
	}
}

// settings returns the settings in force. What was typed wrong is an error of
// usage; a file that cannot be read is not.
func (a *app) settings() (settings.Settings, error) {
	s, err := settings.Load(a.settingsFile, a.sets)
	var missing *fs.PathError
	if errors.As(err, &missing) {
		return s, err
	}
	return s, usage(err, "strokereel settings, for a list of them all")
}
