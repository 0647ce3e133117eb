package cause

import (
	"pumpwright/calc/chain"
	"pumpwright/calc/say"
	"pumpwright/rebuild/assess/reading"
	"pumpwright/rebuild/sheet"
)

var (
	whatClearance = say.Define("cause.clearance", "end clearance as found, against the upper end of its window")
	whatTight     = say.Define("cause.tight", "how far the end clearance as found lies under its window")
	whatHot       = say.Define("cause.hot", "how far the end clearance as found closes beyond contact when hot")
	whySurfaces   = say.Define("cause.surfaces_unworn", "tooth ends and head are unworn: the stack, not wear")
	whyNotRead    = say.Define("cause.surfaces_unread", "whether tooth ends and head are worn was not read")
	whyWorn       = say.Define("cause.surfaces_worn", "end clearance as found: over its window, and worn tooth ends or grooves explain it")
	whyUnder      = say.Define("cause.under_window", "under the window of the manual; by itself no contact")
	whyContact    = say.Define("cause.contact", "with the change between bench and service as found it touches")
	whyInside     = say.Define("cause.inside_window", "not under its window")
)

// clearance holds the end clearance as found against its window, cold and hot.
func (d *detector) clearance() {
	c := d.in.Clearances
	f := d.found(sheet.RoleEndClearance)
	if c == nil || f == nil {
		return
	}
	refs := refsOf(f)
	if c.Window.Known {
		over := mark{item: "E82", what: whatClearance.With(), number: *f.Mean, at: c.Window.High.SI(), chance: -1, worth: 0.9, refs: refs, absent: true, why: whyInside.With()}
		if beyond(f.Mean.Value, f.Mean.U, over.at) >= beyondFrom {
			worn, read := d.endsWorn()
			switch {
			case worn:
				d.undecided = append(d.undecided, whyWorn.With())
				over.item = ""
			case !read:
				over.worth, over.why = 0.4, whyNotRead.With()
			default:
				over.why = whySurfaces.With()
			}
		}
		if over.item != "" {
			d.hold(over)
		}
	}
	d.tight(f, refs)
}

// tight: under the window cold, or contact hot.
func (d *detector) tight(f *reading.Feature, refs []string) {
	c := d.in.Clearances
	if c.Hot != nil {
		closes := c.Hot.Gaps[chain.EndGap].Closest.Change
		if closes.Known() {
			hot := length(-(f.Mean.Value + closes.SI()), f.Mean.U)
			if beyond(hot.Value, hot.U, 0) >= beyondFrom {
				d.hold(mark{item: "K19", what: whatHot.With(), number: hot, chance: -1, worth: 0.6, why: whyContact.With(), refs: refs})
				return
			}
		}
	}
	if !c.Window.Known {
		return
	}
	under := mark{item: "K19", what: whatTight.With(), number: length(c.Window.Low.SI()-f.Mean.Value, f.Mean.U), chance: -1, worth: 0.2, why: whyUnder.With(), refs: refs, absent: true}
	if beyond(under.number.Value, under.number.U, 0) <= insideTo {
		under.worth, under.why = 1, whyInside.With()
	}
	d.hold(under)
}

// endsWorn tells whether tooth ends or head are worn, and whether they were
// read at all.
func (d *detector) endsWorn() (worn, read bool) {
	if f := d.found(sheet.RoleGroove); f != nil {
		read = true
		worn = worn || beyond(f.Worst.Value, f.Worst.U, 2*grooveMark) >= beyondFrom
	}
	for _, role := range []string{sheet.RoleRotorHeight, sheet.RoleHeadBoss} {
		f := d.found(role)
		if f == nil {
			continue
		}
		middle, upper, known := asNew(f)
		if !known {
			continue
		}
		read = true
		loss := middle - f.Worst.Value
		if role == sheet.RoleHeadBoss {
			loss = middle - f.Mean.Value
		}
		worn = worn || beyond(loss, f.Worst.U, upper-middle+wornMark) >= beyondFrom
	}
	return worn, read
}
