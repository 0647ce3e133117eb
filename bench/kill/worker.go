package main

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"image"
	"image/color"
	"image/jpeg"
	"os"
	"path/filepath"
	"strconv"

	"pumpwright/app/shop"
	"pumpwright/rebuild/job"
)

// The variables that make this program the worker that is killed.
const (
	folderVariable   = "PUMPWRIGHT_KILL_FOLDER"
	databaseVariable = "PUMPWRIGHT_KILL_DATABASE"
	roundVariable    = "PUMPWRIGHT_KILL_ROUND"
	againVariable    = "PUMPWRIGHT_KILL_AGAIN" // id that was not acknowledged: sent again
)

func childHome() (shop.Home, bool) {
	folder := os.Getenv(folderVariable)
	return shop.Home{Folder: folder, Database: os.Getenv(databaseVariable)}, folder != ""
}

// worker and workedJob are of the invented scenario.
const (
	worker    = "mira"
	workedJob = "J-2063"
)

// What the worker says on its output, one a line, once it is kept.
const (
	saidReady  = "ready"
	saidTrying = "trying"
	saidKept   = "kept"
	saidBackup = "backup"
)

// idOf names an entry by the round and its number in it.
func idOf(round, n int) string { return fmt.Sprintf("%08x-0000-7000-8000-%012x", round, n) }

// isPhoto: every fifth entry is a photo.
func isPhoto(n int) bool { return n%5 == 4 }

// backUpEach entries a backup is made.
const backUpEach = 8

// work writes until it is killed.
func work(ctx context.Context, home shop.Home) error {
	round, err := strconv.Atoi(os.Getenv(roundVariable))
	if err != nil {
		return err
	}
	s, err := home.Open(ctx, shop.Options{})
	if err != nil {
		return err
	}
	sc, err := s.DemoScope(ctx, worker)
	if err != nil {
		return err
	}
	fmt.Println(saidReady)
	if id := os.Getenv(againVariable); id != "" {
		var r, n int
		if _, err := fmt.Sscanf(id, "%08x-0000-7000-8000-%012x", &r, &n); err != nil {
			return err
		}
		if err := send(ctx, s, sc, id, n); err != nil {
			return err
		}
	}
	for n := 0; ; n++ {
		if err := send(ctx, s, sc, idOf(round, n), n); err != nil {
			return err
		}
		if home.Database == "" && n%backUpEach == backUpEach-1 {
			file, err := s.BackUpTo(ctx, filepath.Join(home.Folder, "backups"))
			if err != nil {
				return err
			}
			fmt.Println(saidBackup, file)
		}
	}
}

func send(ctx context.Context, s *shop.Shop, sc shop.Scope, id string, n int) error {
	fmt.Println(saidTrying, id)
	var answer *shop.Answer
	var err error
	if isPhoto(n) {
		answer, err = s.AddPhoto(ctx, sc, workedJob, shop.NewPhoto{NewEntry: shop.NewEntry{ID: id}, Content: bytes.NewReader(photo(id))})
	} else {
		var body []byte
		if body, err = json.Marshal(job.Note{Text: "note " + id}); err == nil {
			answer, err = s.Add(ctx, sc, workedJob, shop.NewEntry{ID: id, Kind: job.KindNote, Body: body})
		}
	}
	if err != nil {
		return err
	}
	if !answer.Kept {
		return errors.New("an entry was not kept")
	}
	fmt.Println(saidKept, id)
	return nil
}

// photo is a small picture that differs for each id and is the same each time.
func photo(id string) []byte {
	picture := image.NewRGBA(image.Rect(0, 0, 48, 48))
	for x := range 48 {
		for y := range 48 {
			picture.Set(x, y, color.RGBA{id[(x+y)%len(id)] * 3, byte(x * y), id[x%len(id)] * 5, 255})
		}
	}
	var out bytes.Buffer
	_ = jpeg.Encode(&out, picture, nil) // into memory
	return out.Bytes()
}
