package main

import (
	"errors"
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"strokereel/pipeline/site/shelf"
)

func (a *app) serveCommand() *cobra.Command {
	var addr string
	c := &cobra.Command{
		Use:   "serve OUTBOX SHELF",
		Short: "show a shelf in a folder on this machine",
		Long: "serve shows SHELF, a folder that OUTBOX was published to, in the browser of this machine\n" +
			"and says the address of the academy's list. Nobody else can reach it. It runs until it\n" +
			"is interrupted.",
		Example: "  strokereel serve results shelf",
		Args: a.args(func(_ *cobra.Command, args []string) error {
			if len(args) != 2 {
				return fmt.Errorf("name the outbox and the shelf (got %d)", len(args))
			}
			if strings.Contains(args[1], "://") {
				return fmt.Errorf("serve shows a folder (got %q)", args[1])
			}
			return nil
		}),
		RunE: func(cmd *cobra.Command, args []string) error {
			links, err := shelf.LinksOf(args[0], args[1])
			if err != nil {
				return err
			}
			err = shelf.Serve(cmd.Context(), args[1], addr, func(url string) {
				a.voice.say("the shelf is at %s%s", url, links.Academy)
			})
			if errors.Is(err, shelf.ErrFar) {
				return usage(err, cmd.CommandPath()+" --help")
			}
			if err != nil {
				return fmt.Errorf("showing the shelf: %w", err)
			}
			return cmd.Context().Err()
		},
	}
	c.Flags().StringVar(&addr, "addr", "127.0.0.1:8080", "`ADDRESS` of this machine to show it on")
	return c
}
