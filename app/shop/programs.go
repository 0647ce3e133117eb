package shop

import (
	"context"
	"slices"
	"strings"
	"time"

	"pumpwright/app/access"
	"pumpwright/app/store"
	"pumpwright/calc/say"
	"pumpwright/rebuild/record"
)

// Token is what a program comes in with, without its secret.
type Token struct {
	ID      string
	Name    string
	Person  string // for whom the program acts
	Grants  []access.Grant
	Created record.Time
	Expires record.Time // 0: until it is revoked
	Revoked record.Time
}

const (
	shortestToken = time.Minute
	longestToken  = 10 * 366 * 24 * time.Hour
)

var (
	msgTokenName = say.Define("shop.token_name", "name the token, so that people know which program it is")
	msgNoGrant   = say.Define("shop.no_grant", "the token is given nothing")
	msgBadGrant  = say.Define("shop.bad_grant", "there is no grant “{grant}”")
	msgGrantsAre = say.Define("shop.grants_are", "give some of {grants:list}")
	msgTokenTime = say.Define("shop.token_time", "a token holds a minute at least and ten years at most")
	msgTokenOver = say.Define("shop.token_over", "this token does not hold, or no longer")
	msgAskLead   = say.Define("shop.ask_lead", "ask a lead of the shop for a new one")
	msgNoPerson  = say.Define("shop.no_person", "there is no such person who may come in")
)

// AddToken makes a token for a program that acts for a person. The secret is
// shown once: what is kept does not give it back. holds 0 means until it is
// revoked.
func (s *Shop) AddToken(ctx context.Context, sc Scope, name, person string, grants []access.Grant, holds time.Duration) (secret string, t Token, err error) {
	if err := sc.need(access.WriteTokens); err != nil {
		return "", t, err
	}
	if sc.Program != "" {
		for _, g := range grants { // a program hands on no more than it has
			if !slices.Contains(sc.Grants, g) {
				return "", t, denied(access.WriteTokens)
			}
		}
	}
	return s.addToken(ctx, sc.Site, name, person, grants, holds)
}

// AddTokenHere makes a token at the only site, for the owner of the machine,
// who asks at its command line.
func (s *Shop) AddTokenHere(ctx context.Context, name, person string, grants []access.Grant, holds time.Duration) (secret string, t Token, err error) {
	site, err := s.siteOfMachine(ctx)
	if err != nil {
		return "", t, err
	}
	return s.addToken(ctx, site, name, person, grants, holds)
}

func (s *Shop) addToken(ctx context.Context, site, name, person string, grants []access.Grant, holds time.Duration) (secret string, t Token, err error) {
	if strings.TrimSpace(name) == "" || len(name) > 100 {
		return "", t, say.Refuse("name", name, msgTokenName.With(), say.Message{})
	}
	all := make([]string, 0, len(access.Grants()))
	for _, g := range access.Grants() {
		all = append(all, string(g))
	}
	if len(grants) == 0 {
		return "", t, say.Refuse("grants", "", msgNoGrant.With(), msgGrantsAre.With(all))
	}
	names := make([]string, len(grants))
	for i, g := range grants {
		if names[i] = string(g); !slices.Contains(access.Grants(), g) {
			return "", t, say.Refuse("grants", names[i], msgBadGrant.With(names[i]), msgGrantsAre.With(all))
		}
	}
	if holds != 0 && (holds < shortestToken || holds > longestToken) {
		return "", t, say.Refuse("days", "", msgTokenTime.With(), say.Message{})
	}
	p, err := s.store.Person(ctx, site, person)
	if isNotFound(err) || err == nil && p.Away {
		return "", t, say.Refuse("person", person, msgNoPerson.With(), say.Message{})
	}
	if err != nil {
		return "", t, err
	}
	secret, kept, id, err := s.gate.NewLink()
	if err != nil {
		return "", t, err
	}
	now := s.now()
	row := store.Token{Secret: kept, ID: id, Site: site, Person: person, Name: name, Scopes: names, Created: record.TimeOf(now)}
	if holds != 0 {
		row.Expires = record.TimeOf(now.Add(holds))
	}
	if err := s.store.PutToken(ctx, row); err != nil {
		return "", t, err
	}
	return secret, tokenOf(row), nil
}

func tokenOf(t store.Token) Token {
	return Token{ID: t.ID, Name: t.Name, Person: t.Person, Grants: grantsOf(t.Scopes), Created: t.Created, Expires: t.Expires, Revoked: t.Revoked}
}

func grantsOf(names []string) []access.Grant {
	grants := make([]access.Grant, len(names))
	for i, n := range names {
		grants[i] = access.Grant(n)
	}
	return grants
}

// Tokens lists the tokens of the site.
func (s *Shop) Tokens(ctx context.Context, sc Scope) ([]Token, error) {
	if err := sc.need(access.WriteTokens); err != nil {
		return nil, err
	}
	rows, err := s.store.Tokens(ctx, sc.Site)
	tokens := make([]Token, len(rows))
	for i := range rows {
		tokens[i] = tokenOf(rows[i])
	}
	return tokens, err
}

// EndToken ends a token at once.
func (s *Shop) EndToken(ctx context.Context, sc Scope, id string) error {
	if err := sc.need(access.WriteTokens); err != nil {
		return err
	}
	return s.store.RevokeToken(ctx, sc.Site, id, s.stamp())
}

// OpenToken returns what the program with a token may do. It looks each time:
// a token that was ended, or whose person went away, is over at once.
func (s *Shop) OpenToken(ctx context.Context, secret string) (Scope, error) {
	over := say.Refuse("", "", msgTokenOver.With(), msgAskLead.With())
	t, err := s.store.TokenBySecret(ctx, access.Kept(secret))
	if isNotFound(err) {
		return Scope{}, over
	}
	if err != nil {
		return Scope{}, err
	}
	if t.Revoked != 0 || t.Expires != 0 && s.stamp() >= t.Expires {
		return Scope{}, over
	}
	p, err := s.store.Person(ctx, t.Site, t.Person)
	if isNotFound(err) || err == nil && p.Away {
		return Scope{}, over
	}
	if err != nil {
		return Scope{}, err
	}
	return Scope{Site: t.Site, Person: p.ID, Roles: personOf(p).Roles, Device: t.ID, Owner: p.Owner, Program: t.ID, Grants: grantsOf(t.Scopes)}, nil
}
