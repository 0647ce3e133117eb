package people

import (
	"net/url"

	"pumpwright/app/shop"
	"pumpwright/calc/say"
)

// stands reports whether a tablet is paired or may still become so.
func (r *roster) stands(t shop.Tablet) bool {
	return t.Revoked == 0 && (t.Paired != 0 || r.now < t.Until)
}

func (r *roster) standing() []shop.Tablet { return r.sorted(true) }

func (r *roster) past() []shop.Tablet { return r.sorted(false) }

func (r *roster) sorted(stands bool) []shop.Tablet {
	var list []shop.Tablet
	for _, t := range r.tablets {
		if r.stands(t) == stands {
			list = append(list, t)
		}
	}
	return list
}

func (r *roster) tabletWords(t shop.Tablet) say.Message {
	switch {
	case t.Revoked != 0:
		return wordUnpaired.With(t.Revoked.Day())
	case t.Paired != 0:
		return wordPaired.With(t.Paired.Day(), t.By)
	case r.now < t.Until:
		return wordWaits.With(when(t.Until))
	}
	return wordLapsed.With()
}

func tabletAddress(t shop.Tablet) string { return "/tablets/" + url.PathEscape(t.ID) + "/end" }
