package cli

import (
	"bytes"
	"fmt"
	"os"

	"pumpwright/app/shop"
	"pumpwright/app/transfer"
	"pumpwright/calc/say"
	"pumpwright/rebuild/record"
)

// databaseVariable names the database where a password on the command line
// could be read by others on the machine.
const databaseVariable = "PUMPWRIGHT_DATABASE"

// home is where a shop is kept.
func (e *Env) home(folder, database string) shop.Home {
	if database == "" {
		database = e.Getenv(databaseVariable)
	}
	return shop.Home{Folder: e.Folder.Path(folder), Database: database}
}

var (
	msgMoved    = say.Define("cli.moved", "Copied and checked. The old home is left as it is; serve only one of them.")
	msgArchived = say.Define("cli.archived", "Wrote {file}: {streams:count|stream|streams}, {blobs:count|photo or paper|photos and papers}.")
	msgUnpacked = say.Define("cli.unpacked", "Put back {n:count|entry|entries}; {known:count} were there already.")
)

// moveCommand copies a whole shop into another home.
type moveCommand struct {
	Data       string `default:"pumpwright-data" help:"Folder of the shop as it is."`
	Database   string `placeholder:"URL" help:"PostgreSQL database of the shop as it is, when it has one."`
	ToData     string `required:"" help:"Folder for the shop, or for its photos."`
	ToDatabase string `placeholder:"URL" help:"PostgreSQL database to move into; it must be empty."`
}

// Help shows how it is called.
func (*moveCommand) Help() string {
	return `Every entry, place, hash, photo and person arrives as it was, and is checked. Sign-ins, tablets, links, tokens and webhooks stay behind. Stop the server first.

  pumpwright move --data shop --to-data photos --to-database postgres://pumpwright@127.0.0.1/pumpwright
  pumpwright move --data photos --database postgres://pumpwright@127.0.0.1/pumpwright --to-data shop-again
`
}

// Run moves.
func (c *moveCommand) Run(env *Env) error {
	ctx, stop := env.until()
	defer stop()
	if c.Database == "" {
		if _, err := os.Stat(env.Folder.Path(c.Data)); err != nil {
			return err // a folder that is not there would be made, empty
		}
	}
	from := shop.Home{Folder: env.Folder.Path(c.Data), Database: c.Database}
	if err := shop.Move(ctx, from, shop.Home{Folder: env.Folder.Path(c.ToData), Database: c.ToDatabase}); err != nil {
		return err
	}
	_, err := fmt.Fprintln(env.Out, msgMoved.With())
	return err
}

// archiveCommand writes a shop into one file.
type archiveCommand struct {
	Data     string `default:"pumpwright-data" help:"Folder of the shop."`
	Database string `placeholder:"URL" help:"PostgreSQL database of the shop, when it has one."`
	File     string `arg:"" help:"File to write."`
}

// Help shows how it is called.
func (*archiveCommand) Help() string {
	return `One file with every entry, photo and paper, open to any program that reads ZIP and JSON. It holds no people and nothing to sign in with.

  pumpwright archive --data shop shop.zip
`
}

// Run writes the archive.
func (c *archiveCommand) Run(env *Env) (err error) {
	ctx, stop := env.until()
	defer stop()
	home := env.home(c.Data, c.Database)
	if home.Database == "" {
		if _, err := os.Stat(home.Folder); err != nil {
			return err
		}
	}
	s, err := home.Open(ctx, shop.Options{})
	if err != nil {
		return err
	}
	defer s.Close()
	holdings, err := s.Holdings(ctx)
	if err != nil {
		return err
	}
	var out bytes.Buffer
	m, err := transfer.WriteArchive(&out, holdings, "", record.TimeOf(env.Now()))
	if err != nil {
		return err
	}
	if err := env.Folder.Create(c.File, out.Bytes()); err != nil {
		return err
	}
	_, err = fmt.Fprintln(env.Out, msgArchived.With(c.File, len(m.Streams), len(m.Blobs)))
	return err
}

// unpackCommand puts an archive into a shop.
type unpackCommand struct {
	File     string `arg:"" help:"The archive."`
	Data     string `default:"pumpwright-data" help:"Folder of the shop."`
	Database string `placeholder:"URL" help:"PostgreSQL database of the shop, when it has one."`
}

// Help shows how it is called.
func (*unpackCommand) Help() string {
	return `The archive is checked whole before anything is put back: into an empty shop, or into the one it was made of.

  pumpwright unpack shop.zip --data shop-again
`
}

// Run puts it back.
func (c *unpackCommand) Run(env *Env) error {
	ctx, stop := env.until()
	defer stop()
	content, err := env.Folder.Read(c.File)
	if err != nil {
		return err
	}
	archive, err := transfer.ReadArchive(bytes.NewReader(content), int64(len(content)))
	if err != nil {
		return err
	}
	s, err := env.home(c.Data, c.Database).Open(ctx, shop.Options{})
	if err != nil {
		return err
	}
	defer s.Close()
	holdings, err := s.Holdings(ctx)
	if err != nil {
		return err
	}
	o, err := archive.Restore(holdings)
	if err != nil {
		return err
	}
	_, err = fmt.Fprintln(env.Out, msgUnpacked.With(o.Taken, o.Known))
	return err
}
