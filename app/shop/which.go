package shop

import (
	"context"

	"pumpwright/rebuild/identify"
)

// WhichPump ranks the shop's model sheets against what was measured on a pump
// without a tag. A sheet that does not name itself as the shop does is left
// out: a pump could not be received with it.
func (s *Shop) WhichPump(ctx context.Context, sc Scope, measured []identify.Measurement) (*identify.Result, error) {
	papers, err := s.Papers(ctx, sc, Sheets)
	if err != nil {
		return nil, err
	}
	in := identify.Input{Measured: measured}
	for i := range papers {
		if one := papers[i].Sheet; one != nil && one.Name == papers[i].Name {
			in.Sheets = append(in.Sheets, one)
		}
	}
	return identify.Rank(in)
}
