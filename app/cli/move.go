package cli

import (
	"bytes"
	"fmt"

	"pumpwright/app/shop"
	"pumpwright/app/transfer"
	"pumpwright/calc/say"
	"pumpwright/rebuild/record"
)

var (
	msgMoved    = say.Define("cli.moved", "Copied and checked. The old home is left as it is; serve only one of them.")
	msgArchived = say.Define("cli.archived", "Wrote {file}: {streams:count|stream|streams}, {blobs:count|photo or paper|photos and papers}.")
	msgUnpacked = say.Define("cli.unpacked", "Put back {n:count|entry|entries}; {known:count} were there already.")
)

// moveCommand copies a whole shop into another home.
type moveCommand struct {
	homeFlags
	ToData     string `required:"" help:"Folder for the shop, or for its photos; or a PostgreSQL database that takes everything."`
	ToDatabase string `placeholder:"URL" help:"PostgreSQL database to move into; it must be empty."`
	ToPhotos   string `placeholder:"PLACE" help:"Where photos and papers shall lie instead, as for --photos."`
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
	if err := c.there(env); err != nil {
		return err
	}
	from, other := c.home(env), homeFlags{Data: c.ToData, Database: c.ToDatabase, Photos: c.ToPhotos}
	to := other.home(env)
	if c.ToDatabase == "" && !isDatabase(c.ToData) {
		to.Database = "" // the variable names where the shop is, not where it goes
	}
	if err := shop.Move(ctx, from, to); err != nil {
		return err
	}
	_, err := fmt.Fprintln(env.Out, msgMoved.With())
	return err
}

// archiveCommand writes a shop into one file.
type archiveCommand struct {
	homeFlags
	File   string `arg:"" help:"File to write."`
	Rescue bool   `help:"Of a damaged shop: leave out what cannot be read whole, and say what; the exit status is then 3."`
}

// Help shows how it is called.
func (*archiveCommand) Help() string {
	return `One file with every entry, photo and paper, open to any program that reads ZIP and JSON. It holds no people and nothing to sign in with.

  pumpwright archive --data shop shop.zip
  pumpwright archive --data shop saved.zip --rescue
`
}

// Run writes the archive.
func (c *archiveCommand) Run(env *Env) (err error) {
	ctx, stop := env.until()
	defer stop()
	if err := c.there(env); err != nil {
		return err
	}
	s, err := c.home(env).Open(ctx, shop.Options{})
	if err != nil {
		return err
	}
	defer s.Close()
	holdings, err := s.Holdings(ctx)
	if err != nil {
		return err
	}
	var source transfer.ArchiveSource = holdings
	saved := &rescued{Holdings: holdings}
	if c.Rescue {
		source = saved
	}
	var out bytes.Buffer
	m, err := transfer.WriteArchive(&out, source, "", record.TimeOf(env.Now()))
	if err != nil {
		return err
	}
	if err := env.Folder.Create(c.File, out.Bytes()); err != nil {
		return err
	}
	for _, name := range saved.lost {
		fmt.Fprintln(env.Err, msgLostStream.With(name))
	}
	if _, err = fmt.Fprintln(env.Out, msgArchived.With(c.File, len(m.Streams), len(m.Blobs))); err != nil || len(saved.lost) == 0 {
		return err
	}
	fmt.Fprintln(env.Err, msgLostSome.With(len(saved.lost)))
	return status(3)
}

// unpackCommand puts an archive into a shop.
type unpackCommand struct {
	File string `arg:"" help:"The archive."`
	homeFlags
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
	s, err := c.home(env).Open(ctx, shop.Options{})
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
