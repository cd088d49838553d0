package main

import (
	"fmt"
	"runtime"

	"github.com/spf13/cobra"

	"strokereel/pipeline"
)

func (a *app) versionCommand() *cobra.Command {
	return &cobra.Command{
		Use:   "version",
		Short: "print the version",
		Args:  a.args(noArgs),
		RunE: func(*cobra.Command, []string) error {
			return a.voice.result(fmt.Appendf(nil, "strokereel %s (%s)\n", pipeline.Version, runtime.Version()))
		},
	}
}
