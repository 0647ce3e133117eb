package enter

import "pumpwright/calc/say"

var (
	wordSignIn    = say.Define("enter.sign_in", "Sign in")
	wordWho       = say.Define("enter.who", "Who are you?")
	wordName      = say.Define("enter.name", "Short name")
	wordPassword  = say.Define("enter.password", "Password")
	wordPIN       = say.Define("enter.pin", "PIN")
	wordByPIN     = say.Define("enter.by_pin", "On this tablet ({tablet})")
	wordByWord    = say.Define("enter.by_password", "With a password")
	wordIn        = say.Define("enter.in", "Go in")
	wordKept      = say.Define("enter.kept", "What was typed on this tablet and is not saved yet waits for whoever wrote it.")
	wordPair      = say.Define("enter.pair", "Make this a tablet of the shop")
	wordPairSay   = say.Define("enter.pair_say", "A lead makes a code for it. Then people can switch on it with a PIN.")
	wordCode      = say.Define("enter.code", "Code")
	wordPairDo    = say.Define("enter.pair_do", "Pair this tablet")
	wordSetUp     = say.Define("enter.set_up", "Set up the shop")
	wordSetUpSay  = say.Define("enter.set_up_say", "Nobody can sign in yet. The first person is a lead, who adds the others.")
	wordShop      = say.Define("enter.shop_name", "Name of the shop")
	wordYourName  = say.Define("enter.your_name", "Your name")
	wordShortHelp = say.Define("enter.short_help", "small letters and digits, for signing in and in every entry")
	wordUnits     = say.Define("enter.units", "Units")
	wordMetric    = say.Define("enter.metric", "millimetres")
	wordInch      = say.Define("enter.inch", "inches")
	wordSetUpDo   = say.Define("enter.set_up_do", "Set up and go in")
)
