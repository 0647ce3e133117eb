package api

import (
	"bytes"
	"io"
	"net/http"
	"strconv"
	"time"

	"github.com/danielgtaylor/huma/v2"

	"pumpwright/app/shop"
	"pumpwright/rebuild/job"
)

// mostUpload bounds a photo or a paper on its way in; the shop bounds it again.
const mostUpload = 32 << 20

type photo struct {
	Entry string    `json:"entry" doc:"id of the entry"`
	Hash  string    `json:"hash" doc:"SHA-256 of what is kept: its name under files"`
	Sent  string    `json:"sent,omitempty" doc:"SHA-256 of what was sent"`
	Part  string    `json:"part,omitempty"`
	Step  string    `json:"step,omitempty"`
	Note  string    `json:"note,omitempty"`
	By    string    `json:"by"`
	At    time.Time `json:"at"`
}

type paperFile struct {
	Entry string    `json:"entry"`
	Hash  string    `json:"hash"`
	Name  string    `json:"name,omitempty"`
	What  string    `json:"what,omitempty"`
	Note  string    `json:"note,omitempty"`
	By    string    `json:"by"`
	At    time.Time `json:"at"`
}

type filesOut struct {
	ETag string `header:"ETag"`
	Body struct {
		Photos []photo     `json:"photos" nullable:"false"`
		Papers []paperFile `json:"papers" nullable:"false"`
	}
}

type fileIn struct {
	JobIn
	Unless
	Hash  string `path:"hash" minLength:"64" maxLength:"64" doc:"SHA-256 that an entry of the job names"`
	Small bool   `query:"small" doc:"the small picture of a photo"`
}

type photoIn struct {
	JobIn
	OnlyIf
	ID      string `query:"id" format:"uuid" doc:"UUID version 7 made by the writer: sent again it is kept once"`
	Part    string `query:"part"`
	Step    string `query:"step"`
	Note    string `query:"note"`
	Seen    string `query:"seen"`
	RawBody []byte `contentType:"image/jpeg" doc:"the picture: JPEG, PNG or WebP"`
}

type documentIn struct {
	JobIn
	OnlyIf
	ID      string `query:"id" format:"uuid"`
	Name    string `query:"name" doc:"file name"`
	What    string `query:"what" doc:"safety data sheet, cleaning statement, order …"`
	Note    string `query:"note"`
	Seen    string `query:"seen"`
	RawBody []byte `contentType:"application/pdf" doc:"the paper: PDF"`
}

func (s *Server) files() {
	register(s, huma.Operation{
		OperationID: "list-files", Method: http.MethodGet, Path: "/jobs/{job}/files", Tags: []string{"files"}, Summary: "List the photos and papers of a job",
	}, func(v *visit, in *struct {
		JobIn
		Unless
	}) (*filesOut, error) {
		j, err := v.shop.Job(v, v.scope, in.Job)
		if err != nil {
			return nil, err
		}
		if in.unchanged(tag(j.Head)) {
			return nil, notModified(tag(j.Head))
		}
		out := &filesOut{ETag: tag(j.Head)}
		out.Body.Photos, out.Body.Papers = []photo{}, []paperFile{}
		for _, k := range j.State.Photos {
			out.Body.Photos = append(out.Body.Photos, photoOf(&k))
		}
		for _, k := range j.State.Documents {
			out.Body.Papers = append(out.Body.Papers, paperFile{k.Ref, k.Body.Blob, k.Body.Name, k.Body.What, k.Body.Note, k.By, k.At.Time()})
		}
		return out, nil
	})
	register(s, huma.Operation{
		OperationID: "get-file", Method: http.MethodGet, Path: "/jobs/{job}/files/{hash}", Tags: []string{"files"}, Summary: "Fetch a photo or a paper",
		Responses: map[string]*huma.Response{"200": {Description: "the content", Content: map[string]*huma.MediaType{
			"image/jpeg": {}, "application/pdf": {},
		}}},
	}, func(v *visit, in *fileIn) (*huma.StreamResponse, error) {
		if in.unchanged(tag(in.Hash, strconv.FormatBool(in.Small))) { // a hash never names other content, yet the job may be out of sight now
			if _, err := v.shop.Job(v, v.scope, in.Job); err != nil {
				return nil, err
			}
			return nil, notModified(tag(in.Hash, strconv.FormatBool(in.Small)))
		}
		f, err := v.shop.File(v, v.scope, in.Job, in.Hash, in.Small)
		if err != nil {
			return nil, err
		}
		return &huma.StreamResponse{Body: func(c huma.Context) {
			defer f.Content.Close()
			c.SetHeader("Content-Type", f.Media)
			c.SetHeader("Content-Length", strconv.FormatInt(f.Size, 10))
			c.SetHeader("ETag", tag(in.Hash, strconv.FormatBool(in.Small)))
			c.SetHeader("Content-Security-Policy", "default-src 'none'; sandbox")
			c.SetHeader("Content-Disposition", "attachment")
			_, _ = io.Copy(c.BodyWriter(), f.Content) // who asked hears the length
		}}, nil
	})
	register(s, huma.Operation{
		OperationID: "add-photo", Method: http.MethodPost, Path: "/jobs/{job}/photos", Tags: []string{"files"}, DefaultStatus: http.StatusCreated,
		Summary: "Add a photo", Errors: writeErrors, MaxBodyBytes: mostUpload,
		Description: "What the camera wrote into it (place, time, serial numbers) is not kept.",
	}, func(v *visit, in *photoIn) (*keptOut, error) {
		return answered(v.shop.AddPhoto(v, v.scope, in.Job, shop.NewPhoto{
			NewEntry: shop.NewEntry{ID: in.ID, Seen: in.Seen, Expect: in.expect()}, Part: in.Part, Step: in.Step, Note: in.Note, Content: bytes.NewReader(in.RawBody),
		}))
	})
	register(s, huma.Operation{
		OperationID: "add-paper", Method: http.MethodPost, Path: "/jobs/{job}/papers", Tags: []string{"files"}, DefaultStatus: http.StatusCreated,
		Summary: "Add a paper", Errors: writeErrors, MaxBodyBytes: mostUpload,
	}, func(v *visit, in *documentIn) (*keptOut, error) {
		return answered(v.shop.AddDocument(v, v.scope, in.Job, shop.NewDocument{
			NewEntry: shop.NewEntry{ID: in.ID, Seen: in.Seen, Expect: in.expect()}, Name: in.Name, What: in.What, Note: in.Note, Content: bytes.NewReader(in.RawBody),
		}))
	})
}

func photoOf(k *job.Kept[job.Photo]) photo {
	return photo{k.Ref, k.Body.Blob, k.Body.Sent, k.Body.Part, k.Body.Step, k.Body.Note, k.By, k.At.Time()}
}
