package shop

import (
	"strings"

	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
	"pumpwright/rebuild/ledger"
	"pumpwright/rebuild/sheet"
)

var (
	msgNoKind       = say.Define("shop.no_kind", "the kind is missing")
	msgKindLike     = say.Define("shop.kind_like", "write what it is, such as outside micrometer: a reading asks for its instrument by kind")
	msgBelowZero    = say.Define("shop.below_zero", "this cannot be below zero")
	msgOtherKind    = say.Define("shop.other_quantity", "this is a {read}, the resolution a {resolution}")
	msgSameQuantity = say.Define("shop.same_quantity", "write all three in units of what the instrument reads")
	msgNotExact     = say.Define("shop.not_exact", "no certificate says that an instrument is without error")
	msgWriteU       = say.Define("shop.write_u", "write the standard uncertainty from the certificate (half of an expanded one with k = 2), or leave it empty")
)

// vetInstrument refuses what no instrument can be: it would spread into the
// uncertainty of every reading taken with it.
func vetInstrument(in *ledger.Instrument) error {
	if err := checkName("id", in.ID); err != nil {
		return err
	}
	if strings.TrimSpace(in.Kind) == "" {
		return say.Refuse("kind", "", msgNoKind.With(), msgKindLike.With())
	}
	var first *quantity.Entered
	for _, one := range []struct {
		field string
		value *sheet.Value
	}{{"resolution", in.Resolution}, {"calibration_u", in.CalibrationU}, {"repeatability", in.Repeatability}} {
		if one.value == nil {
			continue
		}
		v := &one.value.Entered
		switch {
		case v.SI < 0:
			return say.Refuse(one.field, v.Text, msgBelowZero.With(), say.Message{})
		case v.SI == 0 && one.field == "calibration_u":
			return say.Refuse(one.field, v.Text, msgNotExact.With(), msgWriteU.With())
		case first != nil && v.Dimension != first.Dimension:
			return say.Refuse(one.field, v.Text, msgOtherKind.With(v.Dimension.String(), first.Dimension.String()), msgSameQuantity.With())
		}
		if first == nil {
			first = v
		}
	}
	return nil
}
