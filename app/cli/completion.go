package cli

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"github.com/alecthomas/kong"

	"pumpwright/rebuild/calculator"
)

// completionCommand prints a completion script.
type completionCommand struct {
	Shell string `arg:"" enum:"bash,zsh,fish" help:"Your shell: bash, zsh or fish."`
}

// Help shows how it is called.
func (*completionCommand) Help() string {
	return `Put the script where your shell reads it, for example into the file that it runs at its start.

  pumpwright completion bash > pumpwright-completion.bash
  pumpwright completion zsh
  pumpwright completion fish
`
}

// offering is a command with the words that may follow it.
type offering struct {
	path  string // the commands so far: "job add"
	words []string
}

// offerings walks the commands. A command behind a file name ("job add FILE
// reading") is offered as if the file were not there.
func offerings(model *kong.Node) []offering {
	var list []offering
	var walk func(node *kong.Node, path []string)
	walk = func(node *kong.Node, path []string) {
		o := offering{path: strings.Join(path, " ")}
		at := node
		for len(at.Children) == 1 && at.Children[0].Type == kong.ArgumentNode {
			at = at.Children[0]
		}
		for _, child := range at.Children {
			o.words = append(o.words, child.Name)
		}
		if o.path == "calc" {
			for _, c := range calculator.All() {
				o.words = append(o.words, c.Name)
			}
		}
		for _, positional := range node.Positional {
			o.words = append(o.words, positional.EnumSlice()...)
		}
		flags := at.AllFlags(true)
		if at.DefaultCmd != nil { // its flags stand without its name
			flags = append(flags, at.DefaultCmd.AllFlags(true)...)
		}
		for _, group := range flags {
			for _, f := range group {
				if word := "--" + f.Name; !slices.Contains(o.words, word) {
					o.words = append(o.words, word)
				}
			}
		}
		list = append(list, o)
		for _, child := range at.Children {
			walk(child, append(path[:len(path):len(path)], child.Name))
		}
	}
	walk(model, nil)
	return list
}

// Run prints the script.
func (c *completionCommand) Run(env *Env, ctx *kong.Context) error {
	write := map[string]func(io.Writer, []offering) error{"bash": bashScript, "zsh": zshScript, "fish": fishScript}[c.Shell]
	return write(env.Out, offerings(ctx.Model.Node))
}

// bashLoop finds the command on the line; it is the same in bash and zsh.
const bashLoop = `  local path="" next
  for word in %s; do
    case "$word" in -*) continue ;; esac
    next="${path:+$path }$word"
    case "$next" in
%s    esac
  done
  case "$path" in
%s  esac
`

func loopOf(list []offering, words string) string {
	var paths, offers strings.Builder
	for _, o := range list {
		if o.path != "" {
			fmt.Fprintf(&paths, "      %q) path=\"$next\" ;;\n", o.path)
		}
		fmt.Fprintf(&offers, "    %q) offer=%q ;;\n", o.path, strings.Join(o.words, " "))
	}
	return fmt.Sprintf(bashLoop, words, paths.String(), offers.String())
}

func bashScript(w io.Writer, list []offering) error {
	_, err := fmt.Fprintf(w, `# Completes the commands of %[1]s in bash.
_%[1]s() {
  local word offer="" here="${COMP_WORDS[COMP_CWORD]}"
%[2]s  COMPREPLY=($(compgen -W "$offer" -- "$here"))
}
complete -o default -F _%[1]s %[1]s
`, name, loopOf(list, `"${COMP_WORDS[@]:1:COMP_CWORD-1}"`))
	return err
}

func zshScript(w io.Writer, list []offering) error {
	_, err := fmt.Fprintf(w, `#compdef %[1]s
# Completes the commands of %[1]s in zsh.
_%[1]s() {
  local word offer=""
%[2]s  compadd -- ${=offer}
  _files
}
compdef _%[1]s %[1]s
`, name, loopOf(list, `"${words[@]:1:$((CURRENT-2))}"`))
	return err
}

func fishScript(w io.Writer, list []offering) error {
	var paths strings.Builder
	for _, o := range list {
		if o.path != "" {
			fmt.Fprintf(&paths, "      case %q\n        set path \"$next\"\n", o.path)
		}
	}
	_, err := fmt.Fprintf(w, `# Completes the commands of %[1]s in fish.
function __%[1]s_at
  set -l path ""
  for word in (commandline -opc)[2..-1]
    if string match -q -- '-*' $word
      continue
    end
    set -l next (string trim "$path $word")
    switch "$next"
%[2]s    end
  end
  test "$path" = "$argv[1]"
end
`, name, paths.String())
	for _, o := range list {
		if err == nil {
			_, err = fmt.Fprintf(w, "complete -c %s -n '__%s_at %q' -a %q\n", name, name, o.path, strings.Join(o.words, " "))
		}
	}
	return err
}
