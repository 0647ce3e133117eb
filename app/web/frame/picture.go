package frame

import (
	"pumpwright/app/draw"
)

// PictureOf returns a photo of a job for a drawing: with its content for
// paper, by its address for a page. It is nil when it cannot be read.
func (v *Visit) PictureOf(j *Job, blob string, whole bool) *draw.Picture {
	f, err := v.Shop.File(v.Context(), v.Visitor.Scope, j.Name, blob, false)
	if err != nil {
		return nil
	}
	defer f.Content.Close()
	p, err := draw.ReadPicture(f.Content, whole)
	if err != nil {
		return nil
	}
	p.Address = j.Path("/photo/" + blob)
	return p
}
