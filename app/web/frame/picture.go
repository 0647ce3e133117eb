package frame

import (
	"pumpwright/app/draw"
	"pumpwright/app/shop"
)

// PictureOf returns a photo of a job for a drawing: with its content for
// paper, by its address for a page. It is nil when it cannot be read.
func (v *Visit) PictureOf(j *Job, blob string, whole bool) *draw.Picture {
	return v.PictureAt(v.Visitor.Scope, j.Name, blob, j.Path("/photo/"+blob), whole)
}

// PictureAt returns a photo of a job as a scope may read it, which a page finds
// at an address.
func (v *Visit) PictureAt(scope shop.Scope, job, blob, address string, whole bool) *draw.Picture {
	f, err := v.Shop.File(v.Context(), scope, job, blob, false)
	if err != nil {
		return nil
	}
	defer f.Content.Close()
	p, err := draw.ReadPicture(f.Content, whole)
	if err != nil {
		return nil
	}
	p.Address = address
	return p
}

// Addresses that end in a secret, for somebody who has no sign-in: a job, and
// the days on which pumps are due.
const (
	Shared   = "/shared/"
	Calendar = "/calendar/"
)
