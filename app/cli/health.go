package cli

import (
	"context"
	"crypto/tls"
	"crypto/x509"
	"encoding/json"
	"fmt"
	"io"
	"net/http"
	"net/url"
	"strings"
	"time"

	"pumpwright/app/watch"
	"pumpwright/calc/say"
	"pumpwright/rebuild/calculator"
)

// healthCommand asks a server how it does.
type healthCommand struct {
	Address string        `arg:"" optional:"" default:"http://${listen}/" help:"Address of the server."`
	Root    string        `placeholder:"FILE" help:"Certificate that the server's own stems from, such as pumpwright-data/tls/root.pem."`
	Within  time.Duration `default:"5s" help:"How long it may take."`
}

// Help shows how it is called.
func (*healthCommand) Help() string {
	return `For whatever starts the server again when it does not answer. Exit status 0 when it is well, 3 when it is not or does not answer.

  pumpwright check-health
  pumpwright check-health https://localhost:8377/ --root pumpwright-data/tls/root.pem
`
}

var (
	msgWell      = say.Define("cli.well", "The server is well, version {version}.")
	msgLate      = say.Define("cli.backup_late", "The last good backup is too old, or there is none.")
	msgIll       = say.Define("cli.ill", "The server answers, but its database does not.")
	msgSilent    = say.Define("cli.silent", "No answer: {reason}")
	msgNotOurs   = say.Define("cli.other_server", "Something answers there, but not this program (status {status:count}).")
	msgAddress   = say.Define("cli.address", "this is no address of a server")
	msgAddressAs = say.Define("cli.address_as", "write it like {example}")
	msgNoRoot    = say.Define("cli.no_root", "no certificate can be read there")
)

// mostHealth is more than an answer is long.
const mostHealth = 64 << 10

// Run asks.
func (c *healthCommand) Run(env *Env) error {
	u, err := url.Parse(c.Address)
	if err != nil || u.Scheme != "http" && u.Scheme != "https" || u.Host == "" {
		return say.Refuse("address", c.Address, msgAddress.With(), msgAddressAs.With("http://"+usualListen+"/"))
	}
	transport := &http.Transport{TLSClientConfig: &tls.Config{MinVersion: tls.VersionTLS12}}
	if c.Root != "" {
		text, err := env.Folder.Read(c.Root)
		if err != nil {
			return err
		}
		pool := x509.NewCertPool()
		if !pool.AppendCertsFromPEM(text) {
			return say.Refuse("root", c.Root, msgNoRoot.With(), say.Message{})
		}
		transport.TLSClientConfig.RootCAs = pool
	}
	u.Path, u.RawQuery = strings.TrimSuffix(u.Path, "/")+watch.HealthPath, ""
	ctx, cancel := context.WithTimeout(context.Background(), c.Within)
	defer cancel()
	r, err := http.NewRequestWithContext(ctx, http.MethodGet, u.String(), nil)
	if err != nil {
		return fmt.Errorf("cli: health: %w", err)
	}
	answer, err := (&http.Client{Transport: transport}).Do(r)
	if err != nil {
		return tellNot(env, msgSilent.With(err))
	}
	defer answer.Body.Close()
	var health struct {
		OK, Backup bool
		Version    string
	}
	text, err := io.ReadAll(io.LimitReader(answer.Body, mostHealth))
	switch {
	case err != nil:
		return tellNot(env, msgSilent.With(err))
	case json.Unmarshal(text, &health) != nil:
		return tellNot(env, msgNotOurs.With(answer.StatusCode))
	case !health.OK || answer.StatusCode != http.StatusOK:
		return tellNot(env, msgIll.With())
	}
	fmt.Fprintln(env.Out, msgWell.With(health.Version))
	if !health.Backup {
		fmt.Fprintln(env.Out, msgLate.With())
	}
	return nil
}

// tellNot says that the server is not well.
func tellNot(env *Env, m say.Message) error {
	fmt.Fprintln(env.Out, m)
	return status(calculator.StatusNotYet)
}
