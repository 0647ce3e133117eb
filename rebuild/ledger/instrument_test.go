package ledger

import (
	"testing"

	"pumpwright/rebuild/record"
)

func TestInstrumentFile(t *testing.T) {
	w := newStock(t)
	w.add(KindInstrument, map[string]any{"id": "OM-04", "kind": "outside micrometer", "resolution": "0.001 mm", "calibration_u": "0.002 mm", "due": "2026-03-31"})
	w.add(KindChecked, Check{On: "2026-02-02", Passed: false, Note: "gauge block 25 mm"})
	f := FoldInstrument(w.stream)
	if f.Instrument.FailedOn != "2026-02-02" || f.Instrument.Due != "2026-03-31" || len(f.Troubles) != 0 {
		t.Fatalf("%+v %v", f.Instrument, f.Troubles)
	}
	w.add(KindCalibrated, Calibration{On: "2026-02-10", Due: "2027-02-10", U: "0.001 mm"})
	wrong := w.add(KindRetired, Retired{Reason: "dropped"})
	w.add(KindVoid, StockVoid{Entry: wrong, Reason: "another one was dropped"})
	f = FoldInstrument(w.stream)
	if f.Instrument.FailedOn != "" || f.Instrument.Due != "2027-02-10" || f.Instrument.CalibrationU.SI != 1e-6 || f.Retired != "" {
		t.Errorf("%+v, retired %q", f.Instrument, f.Retired)
	}
	w.add(KindInstrument, map[string]any{"id": "OM-04", "kind": "outside micrometer", "name": "the red one", "resolution": "0.001 mm"})
	w.add(KindCalibrated, Calibration{On: "soon"})
	w.add(KindRetired, Retired{})
	w.add("polished", map[string]any{})
	f = FoldInstrument(w.stream)
	if f.Instrument.Name != "the red one" || f.Instrument.Due != "2027-02-10" || f.Instrument.CalibrationU == nil {
		t.Errorf("described anew: %+v", f.Instrument)
	}
	if len(f.Troubles) != 3 {
		t.Errorf("troubles %v", f.Troubles)
	}
	if f := FoldInstrument(&record.Stream{}); f.Instrument != nil || len(f.Troubles) != 1 {
		t.Errorf("no entries: %v", f.Troubles)
	}
}
