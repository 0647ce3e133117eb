package people

import (
	"pumpwright/app/access"
	"pumpwright/calc/say"
)

var (
	wordPeople          = say.Define("people.people", "People and tablets")
	wordLanguage        = say.Define("people.language", "Language")
	wordNoLanguage      = say.Define("people.no_language", "none chosen")
	wordShopLanguage    = say.Define("people.shop_language", "Language of the shop")
	wordShopLanguageSay = say.Define("people.shop_language_say", "For people who have chosen none")
	wordShopLanguageDo  = say.Define("people.shop_language_do", "Take this language")
	wordWho             = say.Define("people.who", "People")
	wordMaySay          = say.Define("people.may_say", "Only a lead sees and changes this. Entries keep the short name of whoever made them, for good.")
	wordAdd             = say.Define("people.add", "Add a person")
	wordAddDo           = say.Define("people.add_do", "Add this person")
	wordAdded           = say.Define("people.added", "Added. Set a password now, and a PIN for the shop's tablets: without one of them nobody can sign in.")
	wordShort           = say.Define("people.short", "Short name")
	wordShortSay        = say.Define("people.short_say", "small letters and digits, for signing in and in every entry; it cannot be changed later")
	wordName            = say.Define("people.name", "Name")
	wordRoles           = say.Define("people.roles", "Roles: a person may have several")
	wordRole            = say.Define("people.role", "{role}: {may:message}")
	wordOwner           = say.Define("people.owner", "Owner whose pumps a customer sees")
	wordOwnerSay        = say.Define("people.owner_say", "as it is written in the jobs; only for the role customer")
	wordUnits           = say.Define("people.units", "Units")
	wordMetric          = say.Define("people.metric", "millimetres")
	wordInch            = say.Define("people.inch", "inches")
	wordTaken           = say.Define("people.taken", "somebody has this short name already")
	wordOther           = say.Define("people.other", "take another one")
	wordNoRole          = say.Define("people.no_role", "no role")

	wordGone       = say.Define("people.gone", "may not sign in")
	wordNoKey      = say.Define("people.no_key", "has neither password nor PIN")
	wordHasBoth    = say.Define("people.has_both", "password and PIN")
	wordHasWord    = say.Define("people.has_password", "password")
	wordHasPIN     = say.Define("people.has_pin", "PIN")
	wordChange     = say.Define("people.change", "Name and roles")
	wordChangeDo   = say.Define("people.change_do", "Change")
	wordChanged    = say.Define("people.changed", "Changed.")
	wordEnd        = say.Define("people.end", "When somebody leaves")
	wordEndSay     = say.Define("people.end_say", "Every sign-in ends at once and no new one is let in. What this person wrote and signed stays as it is.")
	wordEndDo      = say.Define("people.end_do", "End: may not sign in any more")
	wordBackDo     = say.Define("people.back_do", "Let this person sign in again")
	wordForgetSay  = say.Define("people.forget_say", "Forgetting takes the name, the password and the PIN away for good. The entries keep the short name.")
	wordForgetYes  = say.Define("people.forget_yes", "Yes, the name is not needed any more")
	wordForgetDo   = say.Define("people.forget_do", "Forget this person")
	wordSayYes     = say.Define("people.say_yes", "nothing was forgotten: the box is not ticked")
	wordTickIt     = say.Define("people.tick_it", "tick it when you are sure, this cannot be taken back")
	wordPassword   = say.Define("people.password", "Password")
	wordOld        = say.Define("people.old", "Your password now")
	wordNew        = say.Define("people.new", "New password")
	wordSetDo      = say.Define("people.set_do", "Set the password")
	wordSetSay     = say.Define("people.set_say", "Every sign-in of this person ends, also the one with which you set it when it is your own.")
	wordPIN        = say.Define("people.pin", "PIN")
	wordNewPIN     = say.Define("people.new_pin", "New PIN")
	wordPINHelp    = say.Define("people.pin_help", "4 to 8 digits; empty takes it away")
	wordPINSay     = say.Define("people.pin_say", "It works only on a tablet that the shop has paired, to switch person there.")
	wordPINDo      = say.Define("people.pin_do", "Set the PIN")
	wordSignIns    = say.Define("people.sign_ins", "Sign-ins that hold")
	wordNoSignIn   = say.Define("people.no_sign_in", "There is none.")
	wordSignIn     = say.Define("people.sign_in", "since {since}, used last {used}, holds until {until}")
	wordByPIN      = say.Define("people.by_pin", "by PIN on {tablet}")
	wordByWord     = say.Define("people.by_password", "with the password")
	wordByWordOn   = say.Define("people.by_password_on", "with the password, on {tablet}")
	wordEndOne     = say.Define("people.end_one", "End it")
	wordEndOneFull = say.Define("people.end_one_full", "End the sign-in since {since}")
	wordEndAll     = say.Define("people.end_all", "End all of them")
	wordEnded      = say.Define("people.ended", "Ended.")
	wordBack       = say.Define("people.back", "All people")

	wordTablets    = say.Define("people.tablets", "Tablets of the shop")
	wordTabletsTLS = say.Define("people.tablets_tls", "Without network a tablet goes on with the jobs that were opened on it, but only if it reaches the shop over TLS: start the server with --tls, send the file root.pem (in the folder tls of the shop) to the tablet once, and install it there as a certificate of your own network. On the server's own machine it works without.")
	wordTabletsSay = say.Define("people.tablets_say", "On a paired tablet people switch with a PIN. Elsewhere only the password lets anybody in.")
	wordNoTablet   = say.Define("people.no_tablet", "No tablet is paired.")
	wordTablet     = say.Define("people.tablet", "Name of the tablet")
	wordTabletSay  = say.Define("people.tablet_say", "so that people know which one it is, for example bench 2")
	wordPairDo     = say.Define("people.pair_do", "Make a code for it")
	wordCode       = say.Define("people.code", "Code for {tablet}")
	wordCodeSay    = say.Define("people.code_say", "On the tablet open the page of signing in, unfold “Make this a tablet of the shop” and type this code. It holds until {until}, pairs one tablet, and is shown only now.")
	wordPaired     = say.Define("people.paired", "paired {day}, code made by {who}")
	wordWaits      = say.Define("people.waits", "its code waits until {until}")
	wordLapsed     = say.Define("people.lapsed", "its code was not used in time")
	wordUnpaired   = say.Define("people.unpaired", "ended {day}")
	wordUnpairDo   = say.Define("people.unpair_do", "End it")
	wordUnpairFull = say.Define("people.unpair_full", "End the tablet {tablet}")
	wordUnpairSay  = say.Define("people.unpair_say", "Ending a tablet ends every sign-in on it. Do it at once when one is lost.")
	wordPast       = say.Define("people.past", "Ended and unused ({n:count})")
	wordOwn        = say.Define("people.own", "My password and sign-ins")
	wordOwnSay     = say.Define("people.own_say", "Name and roles are changed by a lead.")
)

// What the roles may do, in words.
var (
	mayTechnician = say.Define("people.may_technician", "takes pumps apart, measures, rebuilds")
	mayInspector  = say.Define("people.may_inspector", "checks, decides on parts, signs, keeps the instruments")
	mayLead       = say.Define("people.may_lead", "decides, sets limits, and looks after people and settings")
	mayOffice     = say.Define("people.may_office", "receives, quotes, keeps the papers, shares reports")
	mayOperations = say.Define("people.may_operations", "runs the plant in which the pump stands")
	mayCustomer   = say.Define("people.may_customer", "owns pumps, sees their jobs only")
	mayReader     = say.Define("people.may_reader", "looks on and changes nothing")
)

func may(r access.Role) say.Message {
	switch r {
	case access.Technician:
		return mayTechnician.With()
	case access.Inspector:
		return mayInspector.With()
	case access.Lead:
		return mayLead.With()
	case access.Office:
		return mayOffice.With()
	case access.Operations:
		return mayOperations.With()
	case access.Customer:
		return mayCustomer.With()
	case access.Reader:
		return mayReader.With()
	}
	return say.Message{}
}
