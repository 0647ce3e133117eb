package shop

import "context"

// TokensHere lists the tokens of the only site, for the owner of the machine,
// who asks at its command line.
func (s *Shop) TokensHere(ctx context.Context) ([]Token, error) {
	site, err := s.siteOfMachine(ctx)
	if err != nil {
		return nil, err
	}
	rows, err := s.store.Tokens(ctx, site)
	tokens := make([]Token, len(rows))
	for i := range rows {
		tokens[i] = tokenOf(rows[i])
	}
	return tokens, err
}

// EndTokenHere ends a token of the only site and tells whether there was one
// to end.
func (s *Shop) EndTokenHere(ctx context.Context, id string) (ended bool, err error) {
	site, err := s.siteOfMachine(ctx)
	if err != nil {
		return false, err
	}
	tokens, err := s.store.Tokens(ctx, site)
	if err != nil {
		return false, err
	}
	for _, t := range tokens {
		if t.ID == id && t.Revoked == 0 {
			return true, s.store.RevokeToken(ctx, site, id, s.stamp())
		}
	}
	return false, nil
}
