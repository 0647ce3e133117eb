package cli

import (
	"bufio"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"

	"github.com/alecthomas/kong"

	"pumpwright/app/language"
	"pumpwright/calc/say"
	"pumpwright/rebuild/calculator"
)

const name = "pumpwright"

// grammar is the whole command line.
type grammar struct {
	Show helpFlag `name:"help" short:"h" help:"Show what a command does, with examples."`

	Language string `enum:"${languages}" default:"en" env:"PUMPWRIGHT_LANGUAGE" placeholder:"TAG" help:"Language to print: ${languages}. JSON stays as it is."`

	Calc       calcCommand       `cmd:"" help:"Answer one engineering question: fits, clearances, gaskets, slip, seals, life and more."`
	Sheet      sheetCommand      `cmd:"" help:"Write and check model sheets: one pump model as the shop knows it."`
	Job        jobCommand        `cmd:"" help:"Start a job, write down what is found, check a job file."`
	Assess     assessCommand     `cmd:"" help:"Say what a job means: what to do next, replace, fit, sign."`
	Why        whyCommand        `cmd:"" help:"Say why a pump failed, as far as it can be told, and where to look next."`
	Quote      quoteCommand      `cmd:"" help:"Quote the teardown, then the rebuild, in words and as a PDF."`
	Report     reportCommand     `cmd:"" help:"Write the report of a job as a PDF."`
	History    historyCommand    `cmd:"" help:"Follow a pump over its rebuilds: runs, causes, wear, cost."`
	Due        dueCommand        `cmd:"" help:"List when pumps are due, with bounds, and as a calendar."`
	Fleet      fleetCommand      `cmd:"" help:"Look over many pumps: what fails where, how long parts last, what it costs."`
	Review     reviewCommand     `cmd:"" help:"Write a customer's year as a PDF."`
	Stock      stockCommand      `cmd:"" help:"List the parts stock: on the shelf, kept for jobs, too few."`
	Import     importCommand     `cmd:"" help:"Take a table of pumps, readings, jobs or stock in: CSV, workbook, JSON Lines."`
	Export     exportCommand     `cmd:"" help:"Give tables out: CSV, workbook, JSON Lines."`
	Demo       demoCommand       `cmd:"" help:"Show an invented shop with three jobs, or simulate an invented fleet."`
	Serve      serveCommand      `cmd:"" help:"Serve the pages of a shop to browsers and tablets."`
	Backup     backupCommand     `cmd:"" help:"Back a shop up and check the backup."`
	Restore    restoreCommand    `cmd:"" help:"Put a backup into a new folder."`
	Site       siteCommand       `cmd:"" help:"Look after the sites of one database: list, add, let people belong to several."`
	Token      tokenCommand      `cmd:"" help:"Let programs in: make, list and end tokens."`
	Health     healthCommand     `cmd:"" name:"check-health" help:"Ask a server how it does."`
	Move       moveCommand       `cmd:"" help:"Copy a whole shop into another home: a folder or a PostgreSQL database."`
	Archive    archiveCommand    `cmd:"" help:"Write a shop into one file."`
	Unpack     unpackCommand     `cmd:"" help:"Put an archive into a shop."`
	Completion completionCommand `cmd:"" help:"Print a script that completes commands in your shell."`
	Version    versionCommand    `cmd:"" help:"Print the version."`
}

// Help describes the program.
func (*grammar) Help() string {
	return `The bench companion for rebuilding crescent internal gear pumps. It computes and remembers; the maker's manual, local codes and the people licensed to decide stand above it.

Exit status: 0 done; 1 internal fault; 2 the input was refused; 3 done, but the answer is a no or a not yet; 4 a file could not be read or written.

Start here:

  pumpwright demo
  pumpwright calc
  pumpwright calc gasket-stack --example
`
}

// helpFlag prints the help of the command it stands at.
type helpFlag bool

// IgnoreDefault lets the flag run only when it was given.
func (helpFlag) IgnoreDefault() {}

// BeforeReset prints the help before anything is validated.
func (helpFlag) BeforeReset(ctx *kong.Context) error {
	if err := ctx.PrintUsage(false); err != nil {
		return err
	}
	return status(calculator.StatusDone)
}

func newParser(env *Env, g *grammar) (*kong.Kong, error) {
	return kong.New(g,
		kong.Name(name),
		kong.Description("Rebuild a pump from the first reading to the signed report."),
		kong.NoDefaultHelp(),
		kong.Writers(env.Out, env.Err),
		kong.Exit(func(int) {}), // nothing here ends the process
		kong.WithHyphenPrefixedParameters(true),
		kong.ConfigureHelp(kong.HelpOptions{Compact: true, WrapUpperBound: usualWidth}),
		kong.Bind(env),
		kong.Vars{"listen": usualListen, "languages": strings.Join(language.Tags(), ",")},
	)
}

// Run runs a command line (without the program's name) and returns the exit
// status.
func Run(args []string, env *Env) int {
	out := bufio.NewWriter(env.Out)
	inner := *env
	inner.Out = out
	code := run(args, &inner)
	if err := out.Flush(); err != nil && code != calculator.StatusFault {
		return conclude(env, nil, err)
	}
	return code
}

func run(args []string, env *Env) int {
	var g grammar
	parser, err := newParser(env, &g)
	if err != nil {
		return conclude(env, args, err)
	}
	ctx, err := parser.Parse(args)
	env.language = g.Language
	if err != nil {
		return usage(env, args, err)
	}
	return conclude(env, args, ctx.Run())
}

var msgHint = say.Define("cli.hint", "run “{command} --help” to see how it is written")

// usage says what is wrong with a command line.
func usage(env *Env, args []string, err error) int {
	var quiet status
	if errors.As(err, &quiet) {
		return int(quiet)
	}
	command := name
	var parse *kong.ParseError
	if errors.As(err, &parse) && parse.Context != nil {
		if node := parse.Context.Selected(); node != nil {
			command = node.FullPath()
		}
	}
	problem := say.Refuse("", "", say.Plain(err.Error()), msgHint.With(command))
	return conclude(env, args, problem)
}

// conclude says what went wrong and returns the exit status: on Err for a
// person, on Out as JSON for a program that asked for it.
func conclude(env *Env, args []string, err error) int {
	code := statusOf(err)
	var quiet status
	if err == nil || errors.As(err, &quiet) {
		return code
	}
	if wantsJSON(args) {
		_ = writeJSON(env.Out, map[string]any{"error": errorDocument(err)}) // nothing is left to tell it to
		return code
	}
	text := err.Error()
	if p := say.AsProblem(err); p != nil {
		text = p.Show(language.Style(say.Metric, env.language))
	}
	fmt.Fprintf(env.Err, "%s: %s\n", name, text)
	return code
}

// wantsJSON reports whether a program asked; for an entry --json means the
// body.
func wantsJSON(args []string) bool {
	entry := len(args) > 1 && args[0] == "job" && args[1] == "add"
	return slices.Contains(args, "--json") && !entry
}

// errorDocument returns an error for programs: the field, what was read, what
// is wrong with it and what would be accepted.
func errorDocument(err error) map[string]string {
	if p := say.AsProblem(err); p != nil {
		return map[string]string{"field": p.Field, "read": p.Read, "message": p.Message.String(), "accepted": p.Accepted.String()}
	}
	return map[string]string{"field": "", "read": "", "message": err.Error(), "accepted": ""}
}

func writeJSON(w io.Writer, document any) error {
	encoder := json.NewEncoder(w)
	encoder.SetEscapeHTML(false)
	encoder.SetIndent("", "  ")
	return encoder.Encode(document)
}

// versionCommand prints the version.
type versionCommand struct{}

// Help shows how it is called.
func (versionCommand) Help() string { return "\n  pumpwright version\n" }

// Run prints the version.
func (versionCommand) Run(env *Env) error {
	_, err := fmt.Fprintln(env.Out, name, env.Version)
	return err
}
