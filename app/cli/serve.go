package cli

import (
	"context"
	"crypto/tls"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"net"
	"net/http"
	"os"
	"path/filepath"
	"slices"
	"time"

	"pumpwright/app/access"
	"pumpwright/app/shop"
	"pumpwright/app/watch"
	"pumpwright/app/web"
	"pumpwright/calc/say"
)

// usualListen is where the pages are served: on this machine alone.
const usualListen = "127.0.0.1:8377"

// serveCommand serves the pages of a shop.
type serveCommand struct {
	homeFlags
	Listen string   `default:"${listen}" help:"Address and port to serve on."`
	TLS    bool     `name:"tls" help:"Serve over TLS with a certificate of the shop's own network."`
	Name   []string `help:"Name or address under which tablets reach the server: for its certificate, and the first of them for labels and links; may be given several times."`
	Log    string   `enum:"warnings,requests" default:"warnings" help:"What is logged: warnings, or each request too, by its route and without names or addresses."`
	Plain  bool     `help:"Serve other machines without TLS: whoever listens on the network can read what is typed."`
}

// Help shows how it is called.
func (*serveCommand) Help() string {
	return `The first start makes the folder and asks in the browser who leads the shop.

  pumpwright serve --data shop
  pumpwright serve --data postgres://pumpwright@127.0.0.1/pumpwright
  pumpwright serve --data photos --database postgres://pumpwright@127.0.0.1/pumpwright
  pumpwright serve --data shop --listen 0.0.0.0:8377 --tls --name pumps.workshop
`
}

var (
	msgServing     = say.Define("cli.serving", "Serving {data} at {address}. End it with Ctrl-C.")
	msgServingDemo = say.Define("cli.serving_demo", "Serving the invented scenario at {address}, for this machine only and without a sign-in. End it with Ctrl-C.")
	msgRootFile    = say.Define("cli.root_file", "Tablets must trust {file} once: send it to them and install it as a certificate of your own network. Only then do they keep jobs for work without network.")
	msgNotLocal    = say.Define("cli.not_local", "{listen} can be reached from other machines")
	msgSayTLS      = say.Define("cli.say_tls", "add --tls, or --plain to serve without it on a network that you trust")
	msgBackupFails = say.Define("cli.backup_fails", "the nightly backup failed: {reason}")
	msgHooksFail   = say.Define("cli.hooks_fail", "the messages to webhooks wait: {reason}")
	msgBackedUp    = say.Define("cli.backed_up", "Backed up and checked: {file}.")
	msgRestored    = say.Define("cli.restored", "Restored into {folder} and checked.")
)

// Run serves until it is told to stop.
func (c *serveCommand) Run(env *Env) error {
	local, err := onlyThisMachine(c.Listen)
	if err != nil {
		return err
	}
	if !local && !c.TLS && !c.Plain {
		return say.Refuse("listen", c.Listen, msgNotLocal.With(c.Listen), msgSayTLS.With())
	}
	ctx, stop := env.until()
	defer stop()
	s, err := c.home(env).Open(ctx, shop.Options{})
	if err != nil {
		return err
	}
	defer s.Close()
	p := serving{env: env, listen: c.Listen, requests: c.Log == "requests", shop: s, said: func(address string) say.Message { return msgServing.With(c.named(), address) }}
	if c.TLS {
		hosts, err := hostsOf(c.Listen, c.Name)
		if err != nil {
			return err
		}
		if p.certificates, err = access.LocalCertificates(filepath.Join(env.Folder.Path(c.folder()), "tls"), hosts, env.Now(), env.Random); err != nil {
			return err
		}
	}
	if len(c.Name) > 0 {
		p.name = c.Name[0]
	}
	if c.TLS {
		p.tell(msgRootFile.With(filepath.Join(c.folder(), "tls", "root.pem")))
	}
	go s.SendHooks(ctx, shop.PostSigned(env.Version, time.Now), func(err error) { fmt.Fprintln(env.Err, name+": "+msgHooksFail.With(err).String()) })
	go s.BackUpNightly(ctx, func(err error) { fmt.Fprintln(env.Err, name+": "+msgBackupFails.With(err).String()) })
	go s.Warm(ctx)
	return p.run(ctx)
}

func onlyThisMachine(listen string) (bool, error) {
	host, _, err := net.SplitHostPort(listen)
	if err != nil {
		return false, say.Refuse("listen", listen, msgListen.With(), msgWriteListen.With(usualListen))
	}
	ip := net.ParseIP(host)
	return host == "localhost" || ip != nil && ip.IsLoopback(), nil
}

var (
	msgListen      = say.Define("cli.listen", "this is no address with a port")
	msgWriteListen = say.Define("cli.write_listen", "write it like {example}")
)

// hostsOf lists the names for the certificate: those given, and the addresses
// that this machine has.
func hostsOf(listen string, names []string) ([]string, error) {
	hosts := append([]string{"localhost"}, names...)
	host, _, err := net.SplitHostPort(listen)
	if err != nil {
		return nil, err
	}
	addresses := []string{"127.0.0.1"}
	if ip := net.ParseIP(host); ip != nil && !ip.IsUnspecified() {
		addresses = append(addresses, ip.String())
	} else if all, err := net.InterfaceAddrs(); err == nil {
		for _, a := range all {
			if n, ok := a.(*net.IPNet); ok && n.IP.To4() != nil {
				addresses = append(addresses, n.IP.String())
			}
		}
	}
	slices.Sort(addresses)
	return append(hosts, slices.Compact(addresses)...), nil
}

// serving is one run of the server.
type serving struct {
	env          *Env
	listen       string
	name         string // under which tablets reach the server, "" when nobody said
	requests     bool   // each is logged
	shop         *shop.Shop
	demo         bool
	certificates *access.Certificates
	said         func(address string) say.Message
}

// stopWithin is how long requests under way may take when the server is told
// to stop.
const stopWithin = 10 * time.Second

func (p *serving) run(ctx context.Context) error {
	open := net.Listen
	if p.env.Listen != nil {
		open = p.env.Listen
	}
	listener, err := open("tcp", p.listen)
	if err != nil {
		return fmt.Errorf("cli: serve: %w", err)
	}
	log := slog.New(slog.NewTextHandler(p.env.Err, &slog.HandlerOptions{Level: slog.LevelWarn}))
	watching := watch.Config{Shop: p.shop, Version: p.env.Version}
	if p.requests {
		watching.Log = slog.New(slog.NewTextHandler(p.env.Err, nil))
	}
	scheme := "http://"
	if p.certificates != nil {
		scheme = "https://"
	}
	reached := ""
	if _, port, err := net.SplitHostPort(listener.Addr().String()); err == nil && p.name != "" {
		reached = scheme + net.JoinHostPort(p.name, port)
	}
	pages := web.New(web.Config{Shop: p.shop, Demo: p.demo, Log: log, Secure: p.certificates != nil, Address: reached})
	handler, err := p.withAPI(pages, log)
	if err != nil {
		return errors.Join(err, listener.Close())
	}
	server := &http.Server{Handler: watch.New(watching, handler), ReadHeaderTimeout: 10 * time.Second, IdleTimeout: 2 * time.Minute, ErrorLog: slog.NewLogLogger(log.Handler(), slog.LevelWarn)}
	if p.certificates != nil {
		server.TLSConfig = &tls.Config{Certificates: []tls.Certificate{p.certificates.Server}, MinVersion: tls.VersionTLS12}
	}
	p.tell(p.said(scheme + listener.Addr().String() + "/"))
	ended := make(chan error, 1)
	go func() {
		if p.certificates != nil {
			ended <- server.ServeTLS(listener, "", "")
			return
		}
		ended <- server.Serve(listener)
	}()
	select {
	case err := <-ended:
		return fmt.Errorf("cli: serve: %w", err)
	case <-ctx.Done():
	}
	pages.Close()
	calm, cancel := context.WithTimeout(context.Background(), stopWithin)
	defer cancel()
	err = server.Shutdown(calm)
	if served := <-ended; !errors.Is(served, http.ErrServerClosed) {
		err = errors.Join(err, served)
	}
	return err
}

// tell prints at once: what was printed before waits in a buffer.
func (p *serving) tell(m say.Message) {
	fmt.Fprintln(p.env.Out, m.String())
	if f, ok := p.env.Out.(interface{ Flush() error }); ok {
		_ = f.Flush() // the next line would fail the same way and say so
	}
}

// backupCommand backs a shop up while it is served.
type backupCommand struct {
	Data string `default:"pumpwright-data" help:"Folder of the shop."`
	To   string `arg:"" help:"Folder for the backup."`
}

// Help shows how it is called.
func (*backupCommand) Help() string {
	return `The backup is checked before it counts. The shop may be in use meanwhile.

  pumpwright backup --data shop backups
`
}

// Run makes the backup.
func (c *backupCommand) Run(env *Env) error {
	if _, err := os.Stat(env.Folder.Path(c.Data)); err != nil {
		return err
	}
	ctx, stop := env.until()
	defer stop()
	s, err := shop.OpenFolder(ctx, env.Folder.Path(c.Data), shop.Options{})
	if err != nil {
		return err
	}
	defer s.Close()
	file, err := s.BackUpTo(ctx, env.Folder.Path(c.To))
	if err != nil {
		return err
	}
	_, err = io.WriteString(env.Out, msgBackedUp.With(file).String()+"\n")
	return err
}

// restoreCommand puts a backup into a folder that has no shop yet.
type restoreCommand struct {
	Backup string `arg:"" help:"The backup."`
	Data   string `default:"pumpwright-data" help:"Folder for the shop; it must have none yet."`
}

// Help shows how it is called.
func (*restoreCommand) Help() string {
	return `A folder that holds a shop already is left alone.

  pumpwright restore backups/BACKUP --data shop-again
`
}

// Run restores.
func (c *restoreCommand) Run(env *Env) error {
	ctx, stop := env.until()
	defer stop()
	if err := shop.Restore(ctx, env.Folder.Path(c.Backup), env.Folder.Path(c.Data)); err != nil {
		return err
	}
	_, err := io.WriteString(env.Out, msgRestored.With(c.Data).String()+"\n")
	return err
}
