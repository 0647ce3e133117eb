package web

import (
	"net/http"
	"net/url"
	"strconv"

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
	at, _ := strconv.ParseInt(v.FormValue("at"), 10, 64)    // now when it is not told
	sent, _ := strconv.ParseInt(v.FormValue("now"), 10, 64) // likewise
	taken, err := v.Shop.AddPhoto(v.Context(), v.Visitor.Scope, v.PathValue("job"), shop.NewPhoto{
		NewEntry: shop.NewEntry{ID: v.FormValue("id"), Seen: v.FormValue("seen"), At: timeOf(at), Sent: timeOf(sent)},
		Part:     v.FormValue("part"), Step: v.FormValue("step"), Note: v.FormValue("note"), Finding: v.FormValue("finding"), Content: file,
	})
	if err != nil {
		return err
	}
	next := frame.Local(v.FormValue("next"), "/")
	if v.FormValue("then") == "mark" {
		next = "/job/" + url.PathEscape(v.PathValue("job")) + "/marks/" + taken.Entry.ID
	}
	if wantsJSON(v.Request) {
		o := outcome{Saved: true, Fresh: taken.Fresh, Seq: taken.Entry.Seq, Hash: taken.Entry.Hash, After: taken.After, Address: next, Clock: clockWords(v, taken)}
		if v.FormValue("quiet") == "" {
			o.Page, o.Address = s.pageAt(v, next, nil)
		}
		answer(v, http.StatusOK, o)
		return nil
	}
	return v.Go(next)
}

// showPhoto serves a picture of a job under the hash of its content.
func showPhoto(v *frame.Visit) error {
	f, err := v.Shop.File(v.Context(), v.Visitor.Scope, v.PathValue("job"), v.PathValue("hash"), v.URL.Query().Has("small"))
	if err != nil {
		return err
	}
	defer f.Content.Close()
	return v.GivePhoto(f)
}
