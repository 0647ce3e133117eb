package cli

import (
	"context"
	"fmt"
	"strings"
	"time"

	"pumpwright/app/access"
	"pumpwright/app/shop"
	"pumpwright/calc/say"
)

// tokenCommand lets programs in.
type tokenCommand struct {
	Add  tokenAdd  `cmd:"" help:"Make a token for a program and print it, once."`
	List tokenList `cmd:"" help:"List the tokens."`
	End  tokenEnd  `cmd:"" help:"End a token at once."`
}

// tokenHome is the shop whose tokens they are.
type tokenHome struct{ homeFlags }

// tokenAdd makes a token.
type tokenAdd struct {
	Name   string   `arg:"" help:"Which program it is for, in words."`
	Person string   `required:"" help:"Person for whom the program acts: it may do nothing that he may not."`
	Grant  []string `enum:"read,enter,sign,keep,manage" default:"read" help:"What it is given of that: read, enter, sign, keep, manage."`
	Days   int      `help:"How long it holds; without it, until it is ended."`
	tokenHome
}

// Help shows how it is called.
func (*tokenAdd) Help() string {
	return `The token is shown once; what is kept does not give it back.

  pumpwright token add "balancing bench" --person mira --grant read,enter --days 365
`
}

// tokenList lists.
type tokenList struct{ tokenHome }

// Help shows how it is called.
func (*tokenList) Help() string {
	return `
  pumpwright token list --data shop
`
}

// tokenEnd ends a token.
type tokenEnd struct {
	ID string `arg:"" help:"Id of the token, as the list shows it."`
	tokenHome
}

// Help shows how it is called.
func (*tokenEnd) Help() string {
	return `
  pumpwright token end ID
`
}

var (
	msgTokenMade  = say.Define("cli.token_made", "The program shows it as “Authorization: Bearer …”. It is not shown again.")
	msgTokenEnded = say.Define("cli.token_ended", "The token has ended.")
	msgNoTokens   = say.Define("cli.no_tokens", "There is no token.")
	msgTokenGone  = say.Define("cli.token_gone", "there is no such token that holds")
	headToken     = say.Define("cli.token", "token")
	headTokenName = say.Define("cli.token_name", "program")
	headTokenWho  = say.Define("cli.token_person", "acts for")
	headTokenMay  = say.Define("cli.token_grants", "may")
	headTokenTill = say.Define("cli.token_until", "until")
	wordEnded     = say.Define("cli.token_over", "ended {day}")
)

// Run makes the token.
func (c *tokenAdd) Run(env *Env) error {
	return c.with(env, func(ctx context.Context, s *shop.Shop) error {
		grants := make([]access.Grant, len(c.Grant))
		for i, g := range c.Grant {
			grants[i] = access.Grant(g)
		}
		secret, _, err := s.AddTokenHere(ctx, c.Name, c.Person, grants, time.Duration(c.Days)*24*time.Hour)
		if err != nil {
			return err
		}
		fmt.Fprintln(env.Err, msgTokenMade.With())
		_, err = fmt.Fprintln(env.Out, secret)
		return err
	})
}

// Run lists.
func (c *tokenList) Run(env *Env) error {
	return c.with(env, func(ctx context.Context, s *shop.Shop) error {
		tokens, err := s.TokensHere(ctx)
		if err != nil {
			return err
		}
		p := newPage(env, say.Style{})
		if len(tokens) == 0 {
			p.say(msgNoTokens.With())
			return p.err
		}
		var rows [][]string
		for _, t := range tokens {
			grants := make([]string, len(t.Grants))
			for i, g := range t.Grants {
				grants[i] = string(g)
			}
			until := t.Expires.Day().Show(p.style)
			if t.Revoked != 0 {
				until = wordEnded.With(t.Revoked.Day()).Text(p.style)
			}
			rows = append(rows, []string{t.ID, t.Name, t.Person, strings.Join(grants, ", "), until})
		}
		p.table("", []say.Message{headToken.With(), headTokenName.With(), headTokenWho.With(), headTokenMay.With(), headTokenTill.With()}, rows)
		return p.err
	})
}

// Run ends the token.
func (c *tokenEnd) Run(env *Env) error {
	return c.with(env, func(ctx context.Context, s *shop.Shop) error {
		ended, err := s.EndTokenHere(ctx, c.ID)
		if err != nil {
			return err
		}
		if !ended {
			return say.Refuse("id", c.ID, msgTokenGone.With(), say.Message{})
		}
		p := newPage(env, say.Style{})
		p.say(msgTokenEnded.With())
		return p.err
	})
}
