package assembly

import "github.com/platewright/platewright/layers"

// Check is one thing that Build looks for in a kit. It reports findings of its
// own ID only; where it cannot look, that is a finding of another check's ID.
type Check struct {
	ID  string // of its findings
	Doc string // when it occurs, and how severe it is
	Run func(k *Kit, report func(layers.Finding))
}

// Checks returns every check that Build runs: a fresh slice, in their order.
// Joints report findings of their own beside these, and so do [joints.Room] and
// [layers.Material.Question], whose ids are documented there.
func Checks() []Check {
	return []Check{
		{"stack-height", "The highest column of plates stands higher than the declared height: an error with the sheets as measured, a warning where only three standard deviations more do it.", stackHeight},
		{"stack-spread", "A sheet's deviation is not known, and its published tolerance would make the stack stand higher than declared: a note.", stackSpread},
		{"layer-air", "A plate lies over nothing that is as high as its layer, so that more than 0.05 mm of air are behind it: a warning.", layerAir},
		{"clip-loose", "Plates rest lower, by more than 0.05 mm, than the height that a sprung joint counts on, since there is air between them: a warning.", clipLoose},
		{"clip-tight", "Plates that a sprung joint does not go through lie in its grip, and with three standard deviations of all sheets the grip is too short: a warning; too short with the sheets as measured: an error.", clipTight},
		{"plates-overlap", "Two plates of one layer lie over each other beyond what a press fit explains: an error.", platesOverlap},
		{"plates-close", "Two plates of one layer lie closer than the gap that one of them asks for: a warning.", platesClose},
		{"plates-collide", "An upright or a plate that a joint makes takes up more than 0.05 mm³ of another plate's room, beyond what a press fit explains and where they press into each other by more than 0.005 mm: an error.", platesCollide},
		{"passage-blocked", "A plate of the stack is in the way of a screw or another bought part, between the outermost plates that its joint opens: an error.", passageBlocked},
		{"bought-blocked", "A plate, or a bought part of another joint, is where the head, the nut or the end of a screw is, outside of the plates that the screw holds: an error.", boughtBlocked},
		{"collision-unknown", "Two plates may meet of which one lies neither in the stack nor square to it, so that plates-collide could not measure them: a note.", collisionUnknown},
		{"plate-empty", "The joints leave nothing of a plate, or its finished outline could not be computed: an error.", plateEmpty},
		{"plate-parts", "A plate falls into more than one piece: an error.", plateParts},
		{"web-narrow", "A web is narrower than 1 mm: a warning; narrower than 0.5 mm: an error.", webNarrow},
		{"window-narrow", "A window or notch is narrower than the kerf: an error.", windowNarrow},
		{"sheet-small", "A plate, lying straight, is larger than its sheet less the margins, either way round, or with its spring arm along the sheet's grain: a warning.", sheetSmall},
		{"sheet-grain", "Plates with spring arms are cut from a sheet with a grain, so that the sheet must be loaded one way: a note for each material.", sheetGrain},
		{"mark-off", "More than 0.5 mm of a scored line or 0.5 mm² of an engraved face lay beyond the finished plate or across a window of it, and was cut back; or nothing of the mark was left: a warning.", markOff},
		{"inserts-differ", "The finished edges of two inserts that take turns in a seat are more than 0.01 mm apart: an error.", insertsDiffer},
		{"mating-play", "The play of a mating, measured on the finished outlines, is more than 0.002 mm off what the joint states, or cannot be measured, and no error was found of the joint itself: an error.", matingPlay},
	}
}
