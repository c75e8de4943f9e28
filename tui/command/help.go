package command

import (
	"errors"
	"fmt"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
)

// dress gives every command the program's own help, and turns a wrong flag into a wrong call.
func dress(root *cobra.Command) {
	root.SetHelpFunc(func(c *cobra.Command, _ []string) {
		if noCommand(c) == nil {
			fmt.Fprint(c.OutOrStdout(), page(c))
		}
	})
	root.SetUsageFunc(func(c *cobra.Command) error {
		_, err := fmt.Fprint(c.ErrOrStderr(), page(c))
		return err
	})
	root.SetFlagErrorFunc(func(c *cobra.Command, err error) error {
		var value *pflag.InvalidValueError
		if errors.As(err, &value) {
			f := value.GetFlag()
			_, usage := pflag.UnquoteUsage(f)
			write := ""
			if kind := f.Value.Type(); kind == "int" || kind == "uint64" {
				write = "; write a whole number"
			}
			return wrong("%q is no value for --%s (%s)%s", value.GetValue(), f.Name, usage, write)
		}
		return wrong("%w; %s --help lists the flags", err, c.CommandPath())
	})
	root.SetVersionTemplate("meniscus {{.Version}}\n")
	root.CompletionOptions.DisableDefaultCmd = true
	root.SetHelpCommand(&cobra.Command{
		Use:               "help [COMMAND]",
		Short:             "Tell what a command does",
		Args:              between(0, 1, "one command"),
		ValidArgsFunction: completeCommand,
		RunE: func(_ *cobra.Command, args []string) error {
			c, rest, err := root.Find(args)
			if err != nil {
				return err
			}
			if err := onlyCommands(c, rest); err != nil {
				return err
			}
			return c.Help()
		},
	})
	root.InitDefaultHelpFlag()
	root.InitDefaultVersionFlag()
	root.InitDefaultHelpCmd()
	for _, c := range append(root.Commands(), root) {
		c.InitDefaultHelpFlag()
		if f := c.Flags().Lookup("help"); f != nil {
			f.Usage = "tell what this does"
		}
		if f := c.Flags().Lookup("version"); f != nil {
			f.Usage = "tell the version"
		}
	}
}

// completeCommand offers the commands.
func completeCommand(c *cobra.Command, args []string, _ string) ([]string, cobra.ShellCompDirective) {
	var names []string
	for _, sub := range c.Root().Commands() {
		if len(args) == 0 && sub.IsAvailableCommand() {
			names = append(names, sub.Name())
		}
	}
	return names, cobra.ShellCompDirectiveNoFileComp
}

// page is a command's help.
func page(c *cobra.Command) string {
	var b strings.Builder
	text := c.Long
	if text == "" {
		text = c.Short + "."
	}
	fmt.Fprintf(&b, "%s\n\nUse\n  %s\n", text, c.UseLine())
	if c.HasAvailableSubCommands() {
		fmt.Fprintf(&b, "  %s COMMAND\n", c.CommandPath())
	}
	if c.Example != "" {
		fmt.Fprintf(&b, "\nFor example\n%s\n", c.Example)
	}
	if c.HasAvailableSubCommands() {
		b.WriteString("\nCommands\n")
		for _, sub := range c.Commands() {
			if sub.IsAvailableCommand() {
				fmt.Fprintf(&b, "  %-11s %s\n", sub.Name(), sub.Short)
			}
		}
		fmt.Fprintf(&b, "\n%s COMMAND --help tells more of each.\n", c.CommandPath())
	}
	if flags := c.LocalNonPersistentFlags(); flags.HasAvailableFlags() {
		fmt.Fprintf(&b, "\nFlags\n%s", flags.FlagUsages())
	}
	if flags := c.Root().PersistentFlags(); flags.HasAvailableFlags() {
		fmt.Fprintf(&b, "\nFlags of every command\n%s", flags.FlagUsages())
	}
	return b.String()
}

// completionCommand writes the script that lets a shell complete commands, protocols and runs.
func (e *env) completionCommand(root *cobra.Command) *cobra.Command {
	shells := []string{"bash", "zsh", "fish", "powershell"}
	return &cobra.Command{
		Use:                   "completion SHELL",
		Short:                 "Write a script that lets the shell complete commands, protocols and runs",
		Long:                  "Writes a script that lets the shell complete commands, protocols and runs. SHELL is bash, zsh, fish or powershell.",
		Example:               "  source <(meniscus completion bash)",
		Args:                  between(1, 1, "the name of a shell"),
		ValidArgs:             shells,
		DisableFlagsInUseLine: true,
		RunE: func(_ *cobra.Command, args []string) error {
			switch args[0] {
			case "bash":
				return root.GenBashCompletionV2(e.out, true)
			case "zsh":
				return root.GenZshCompletion(e.out)
			case "fish":
				return root.GenFishCompletion(e.out, true)
			case "powershell":
				return root.GenPowerShellCompletionWithDesc(e.out)
			}
			return wrong("there is no completion for the shell %q; %s", args[0], nearest(args[0], shells))
		},
	}
}
