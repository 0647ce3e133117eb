package web

import (
	"net/http"
	"net/url"
	"time"

	"pumpwright/app/shop"
	"pumpwright/app/web/frame"
	"pumpwright/calc/say"
)

var (
	msgNoPhoto   = say.Define("web.no_photo", "no picture came with the form")
	msgTakePhoto = say.Define("web.take_photo", "take or choose a picture")
)

// takePhoto keeps a picture of a job.
func (s *Server) takePhoto(v *frame.Visit) error {
	file, header, err := v.FormFile("photo")
	if err != nil || header.Size == 0 {
		return say.Refuse("photo", "", msgNoPhoto.With(), msgTakePhoto.With())
	}
	defer file.Close()
	if v.MultipartForm != nil {
		defer func() { _ = v.MultipartForm.RemoveAll() }() // files of ours in the temporary folder
	}
	taken, err := v.Shop.AddPhoto(v.Context(), v.Visitor.Scope, v.PathValue("job"), shop.NewPhoto{
		NewEntry: shop.NewEntry{ID: v.FormValue("id"), Seen: v.FormValue("seen")},
		Part:     v.FormValue("part"), Step: v.FormValue("step"), Note: v.FormValue("note"), Finding: v.FormValue("finding"), Content: file,
	})
	if err != nil {
		return err
	}
	if v.FormValue("then") == "mark" {
		return v.Go("/job/" + url.PathEscape(v.PathValue("job")) + "/marks/" + taken.Entry.ID)
	}
	return v.Go(v.FormValue("next"))
}

// showPhoto serves a picture of a job under the hash of its content.
func showPhoto(v *frame.Visit) error {
	f, err := v.Shop.File(v.Context(), v.Visitor.Scope, v.PathValue("job"), v.PathValue("hash"), v.URL.Query().Has("small"))
	if err != nil {
		return err
	}
	defer f.Content.Close()
	h := v.ResponseWriter.Header()
	h.Set("Content-Type", f.Media)
	h.Set("Cache-Control", "private, max-age=31536000, immutable")
	h.Set("Content-Security-Policy", "default-src 'none'; sandbox")
	if f.Media != "image/jpeg" {
		h.Set("Content-Disposition", "attachment")
	}
	http.ServeContent(v.ResponseWriter, v.Request, "", time.Time{}, f.Content)
	return nil
}
