package main

import (
	"github.com/spf13/cobra"

	"strokereel/pipeline/settings"
)

func (a *app) settingsCommand() *cobra.Command {
	return &cobra.Command{
		Use:   "settings",
		Short: "print every setting with its default, unit and meaning",
		Long: "settings prints a settings file with every setting at its default. Keep the lines\n" +
			"you change and give the file with --settings FILE. With --settings or --set the\n" +
			"file is checked and the settings in force are printed instead.",
		Example: "  strokereel settings > club.yaml\n  strokereel settings --settings club.yaml",
		Args:    a.args(noArgs),
		RunE: func(*cobra.Command, []string) error {
			s, err := a.settings()
			if err != nil {
				return err
			}
			return a.voice.result(settings.File(s))
		},
	}
}
