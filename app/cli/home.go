package cli

import (
	"net/url"
	"os"
	"strings"

	"pumpwright/app/shop"
)

// homeFlags say where a shop is kept.
type homeFlags struct {
	Data     string `default:"pumpwright-data" help:"Folder of the shop: its database, photos and backups; or the address of a PostgreSQL database, such as postgres://user@host/name, that holds everything."`
	Database string `placeholder:"URL" help:"PostgreSQL database of the shop; photos stay in the folder. The variable PUMPWRIGHT_DATABASE may name it instead."`
	Site     string `placeholder:"SITE" help:"Site of the shop, where one database holds several."`
	Photos   string `placeholder:"PLACE" help:"Where photos and papers lie instead: another folder, “database”, or the address of a bucket, such as https://host/bucket?region=name, with its key in PUMPWRIGHT_PHOTOS_KEY and PUMPWRIGHT_PHOTOS_SECRET."`
}

// Variables that say what others on the machine could read on a command line.
const (
	databaseVariable = "PUMPWRIGHT_DATABASE"
	keyVariable      = "PUMPWRIGHT_PHOTOS_KEY"
	secretVariable   = "PUMPWRIGHT_PHOTOS_SECRET"
)

// home is where the shop is kept.
func (h *homeFlags) home(env *Env) shop.Home {
	home := shop.Home{Database: h.Database, Photos: h.Photos, Site: h.Site, KeyID: env.Getenv(keyVariable), KeySecret: env.Getenv(secretVariable)}
	switch {
	case isDatabase(h.Data):
		home.Database = h.Data
	default:
		home.Folder = env.Folder.Path(h.Data)
		if home.Database == "" {
			home.Database = env.Getenv(databaseVariable)
		}
	}
	if home.Photos != "" && home.Photos != "database" && !strings.Contains(home.Photos, "://") {
		home.Photos = env.Folder.Path(home.Photos)
	}
	return home
}

// folder is where what a server needs besides is kept on this machine.
func (h *homeFlags) folder() string {
	if isDatabase(h.Data) {
		return usualData
	}
	return h.Data
}

// usualData is the folder of a shop when none is named.
const usualData = "pumpwright-data"

// named is what may be shown: never a password.
func (h *homeFlags) named() string {
	if !isDatabase(h.Data) {
		return h.Data
	}
	u, err := url.Parse(h.Data)
	if err != nil {
		return "postgres://…"
	}
	return u.Scheme + "://" + u.Host + u.Path
}

func isDatabase(data string) bool {
	return strings.HasPrefix(data, "postgres://") || strings.HasPrefix(data, "postgresql://")
}

// there fails when the folder of the shop is not there: opening would make it,
// empty.
func (h *homeFlags) there(env *Env) error {
	home := h.home(env)
	if home.Database != "" {
		return nil
	}
	_, err := os.Stat(home.Folder)
	return err
}
