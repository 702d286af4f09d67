package finding

// The codes of the notes, in the words of the contract.

func (ReadingsUnderRoof) Code() string   { return "readings_under_roof" }
func (SunUnderSky) Code() string         { return "sun_under_sky" }
func (ReadingInTheDark) Code() string    { return "reading_in_the_dark" }
func (ReadingTooBright) Code() string    { return "reading_too_bright" }
func (TimeTwice) Code() string           { return "time_twice" }
func (SoftGround) Code() string          { return "soft_ground" }
func (LampInView) Code() string          { return "lamp_in_view" }
func (SunDown) Code() string             { return "sun_down" }
func (NoDirectSun) Code() string         { return "no_direct_sun" }
func (SunInView) Code() string           { return "sun_in_view" }
func (SunInFront) Code() string          { return "sun_in_front" }
func (LensUnshaded) Code() string        { return "lens_unshaded" }
func (ZoneUnseen) Code() string          { return "zone_unseen" }
func (SofteningOff) Code() string        { return "softening_off" }
func (NothingToSoften) Code() string     { return "nothing_to_soften" }
func (EveryFrameDoes) Code() string      { return "every_frame_does" }
func (SofteningLeftOut) Code() string    { return "softening_left_out" }
func (LightThroughPicture) Code() string { return "light_through_picture" }
func (OtherHour) Code() string           { return "other_hour" }
func (Moved) Code() string               { return "moved" }
func (SwitchedOff) Code() string         { return "switched_off" }
func (HandHeld) Code() string            { return "hand_held" }
func (Walks) Code() string               { return "walks" }
func (PracticalsLeft) Code() string      { return "practicals_left" }
func (BackgroundApart) Code() string     { return "background_apart" }
func (DarkBackground) Code() string      { return "dark_background" }
func (KeyUnlifted) Code() string         { return "key_unlifted" }
func (KeyTooBright) Code() string        { return "key_too_bright" }
func (KeyTooDark) Code() string          { return "key_too_dark" }
func (KeyPlaced) Code() string           { return "key_placed" }
func (KeyMissed) Code() string           { return "key_missed" }
func (KeyBare) Code() string             { return "key_bare" }
func (KeyHard) Code() string             { return "key_hard" }
func (ColourMissed) Code() string        { return "colour_missed" }
func (ContrastMissed) Code() string      { return "contrast_missed" }
func (FillLeft) Code() string            { return "fill_left" }
func (FillPlaced) Code() string          { return "fill_placed" }
func (BackMissed) Code() string          { return "back_missed" }
func (ZoneMissed) Code() string          { return "zone_missed" }
func (ReAim) Code() string               { return "re_aim" }
func (AimHolds) Code() string            { return "aim_holds" }
func (SunForPart) Code() string          { return "sun_for_part" }
func (BackLampTowardLens) Code() string  { return "back_lamp_toward_lens" }
func (LampsDraw) Code() string           { return "lamps_draw" }
func (GustKeepsOff) Code() string        { return "gust_keeps_off" }
func (NetNotOwned) Code() string         { return "net_not_owned" }
func (NetUnseen) Code() string           { return "net_unseen" }
func (NetNoRoom) Code() string           { return "net_no_room" }
func (NetTooSmall) Code() string         { return "net_too_small" }
func (NotHeld) Code() string             { return "not_held" }
func (MustBeDown) Code() string          { return "must_be_down" }
func (ForecastShort) Code() string       { return "forecast_short" }
func (OverPrice) Code() string           { return "over_price" }
func (LeftOut) Code() string             { return "left_out" }
func (OverTotal) Code() string           { return "over_total" }
func (OverVehicle) Code() string         { return "over_vehicle" }
func (OverCrew) Code() string            { return "over_crew" }
func (OverMass) Code() string            { return "over_mass" }
func (OverHeight) Code() string          { return "over_height" }
func (LowEdge) Code() string             { return "low_edge" }
func (HeavyLift) Code() string           { return "heavy_lift" }
func (SlewingRoom) Code() string         { return "slewing_room" }
func (NoLabour) Code() string            { return "no_labour" }
func (TooFew) Code() string              { return "too_few" }
func (MachinesApart) Code() string       { return "machines_apart" }
func (NoTransport) Code() string         { return "no_transport" }
func (ManyTrips) Code() string           { return "many_trips" }
func (LongDay) Code() string             { return "long_day" }
func (CannotTogether) Code() string      { return "cannot_together" }
func (PinMissed) Code() string           { return "pin_missed" }
func (NoStart) Code() string             { return "no_start" }
func (OverJobTotal) Code() string        { return "over_job_total" }
func (NoDayTransport) Code() string      { return "no_day_transport" }
func (WayUnsaid) Code() string           { return "way_unsaid" }
func (ShotAtOnce) Code() string          { return "shot_at_once" }
func (LeadLifts) Code() string           { return "lead_lifts" }
func (NoRate) Code() string              { return "no_rate" }

func (ReadingsUnderRoof) note()   {}
func (SunUnderSky) note()         {}
func (ReadingInTheDark) note()    {}
func (ReadingTooBright) note()    {}
func (TimeTwice) note()           {}
func (SoftGround) note()          {}
func (LampInView) note()          {}
func (SunDown) note()             {}
func (NoDirectSun) note()         {}
func (SunInView) note()           {}
func (SunInFront) note()          {}
func (LensUnshaded) note()        {}
func (ZoneUnseen) note()          {}
func (SofteningOff) note()        {}
func (NothingToSoften) note()     {}
func (EveryFrameDoes) note()      {}
func (SofteningLeftOut) note()    {}
func (LightThroughPicture) note() {}
func (OtherHour) note()           {}
func (Moved) note()               {}
func (SwitchedOff) note()         {}
func (HandHeld) note()            {}
func (Walks) note()               {}
func (PracticalsLeft) note()      {}
func (BackgroundApart) note()     {}
func (DarkBackground) note()      {}
func (KeyUnlifted) note()         {}
func (KeyTooBright) note()        {}
func (KeyTooDark) note()          {}
func (KeyPlaced) note()           {}
func (KeyBare) note()             {}
func (KeyHard) note()             {}
func (ColourMissed) note()        {}
func (KeyMissed) note()           {}
func (ContrastMissed) note()      {}
func (FillLeft) note()            {}
func (FillPlaced) note()          {}
func (BackMissed) note()          {}
func (ZoneMissed) note()          {}
func (ReAim) note()               {}
func (AimHolds) note()            {}
func (SunForPart) note()          {}
func (BackLampTowardLens) note()  {}
func (LampsDraw) note()           {}
func (GustKeepsOff) note()        {}
func (NetNotOwned) note()         {}
func (NetUnseen) note()           {}
func (NetNoRoom) note()           {}
func (NetTooSmall) note()         {}
func (NotHeld) note()             {}
func (MustBeDown) note()          {}
func (ForecastShort) note()       {}
func (OverPrice) note()           {}
func (LeftOut) note()             {}
func (OverTotal) note()           {}
func (OverVehicle) note()         {}
func (OverCrew) note()            {}
func (OverMass) note()            {}
func (OverHeight) note()          {}
func (LowEdge) note()             {}
func (HeavyLift) note()           {}
func (SlewingRoom) note()         {}
func (NoLabour) note()            {}
func (TooFew) note()              {}
func (MachinesApart) note()       {}
func (NoTransport) note()         {}
func (ManyTrips) note()           {}
func (LongDay) note()             {}
func (CannotTogether) note()      {}
func (PinMissed) note()           {}
func (NoStart) note()             {}
func (OverJobTotal) note()        {}
func (NoDayTransport) note()      {}
func (WayUnsaid) note()           {}
func (ShotAtOnce) note()          {}
func (LeadLifts) note()           {}
func (NoRate) note()              {}

// Notes returns an empty note of every kind, in the order of the documents.
func Notes() []Note {
	return []Note{
		ReadingsUnderRoof{},
		SunUnderSky{},
		ReadingInTheDark{},
		ReadingTooBright{},
		TimeTwice{},
		SoftGround{},
		LampInView{},
		SunDown{},
		NoDirectSun{},
		SunInView{},
		SunInFront{},
		LensUnshaded{},
		ZoneUnseen{},
		SofteningOff{},
		NothingToSoften{},
		EveryFrameDoes{},
		SofteningLeftOut{},
		LightThroughPicture{},
		OtherHour{},
		Moved{},
		SwitchedOff{},
		PracticalsLeft{},
		Walks{},
		HandHeld{},
		BackgroundApart{},
		DarkBackground{},
		KeyUnlifted{},
		KeyTooBright{},
		KeyTooDark{},
		KeyPlaced{},
		KeyMissed{},
		KeyHard{},
		KeyBare{},
		ColourMissed{},
		ContrastMissed{},
		FillLeft{},
		FillPlaced{},
		BackMissed{},
		ZoneMissed{},
		ReAim{},
		AimHolds{},
		SunForPart{},
		BackLampTowardLens{},
		LampsDraw{},
		GustKeepsOff{},
		NetNotOwned{},
		NetUnseen{},
		NetNoRoom{},
		NetTooSmall{},
		NotHeld{},
		MustBeDown{},
		ForecastShort{},
		OverPrice{},
		LeftOut{},
		OverTotal{},
		OverVehicle{},
		OverCrew{},
		OverMass{},
		OverHeight{},
		LowEdge{},
		HeavyLift{},
		SlewingRoom{},
		NoLabour{},
		TooFew{},
		MachinesApart{},
		NoTransport{},
		ManyTrips{},
		LongDay{},
		CannotTogether{},
		PinMissed{},
		NoStart{},
		OverJobTotal{},
		NoDayTransport{},
		WayUnsaid{},
		ShotAtOnce{},
		LeadLifts{},
		NoRate{},
	}
}

// The codes of the obstacles.

func (NotOwned) Code() string        { return "not_owned" }
func (NoFabric) Code() string        { return "no_fabric" }
func (FewSupports) Code() string     { return "few_supports" }
func (NoSupports) Code() string      { return "no_supports" }
func (Overload) Code() string        { return "overload" }
func (Misses) Code() string          { return "misses" }
func (Nowhere) Code() string         { return "nowhere" }
func (InPicture) Code() string       { return "in_picture" }
func (OverSupports) Code() string    { return "over_supports" }
func (UnderHeadRoom) Code() string   { return "under_head_room" }
func (OverHeightLimit) Code() string { return "over_height_limit" }
func (NoFooting) Code() string       { return "no_footing" }
func (OutOfArms) Code() string       { return "out_of_arms" }
func (NotInWind) Code() string       { return "not_in_wind" }
func (OverPriceLimit) Code() string  { return "over_price_limit" }
func (Dearer) Code() string          { return "dearer" }
func (MoreSupports) Code() string    { return "more_supports" }
func (Heavier) Code() string         { return "heavier" }

func (NotOwned) obstacle()        {}
func (NoFabric) obstacle()        {}
func (FewSupports) obstacle()     {}
func (NoSupports) obstacle()      {}
func (Overload) obstacle()        {}
func (Misses) obstacle()          {}
func (Nowhere) obstacle()         {}
func (InPicture) obstacle()       {}
func (OverSupports) obstacle()    {}
func (UnderHeadRoom) obstacle()   {}
func (OverHeightLimit) obstacle() {}
func (NoFooting) obstacle()       {}
func (OutOfArms) obstacle()       {}
func (NotInWind) obstacle()       {}
func (OverPriceLimit) obstacle()  {}
func (Dearer) obstacle()          {}
func (MoreSupports) obstacle()    {}
func (Heavier) obstacle()         {}

// Obstacles returns an empty obstacle of every kind, in the order of the documents.
func Obstacles() []Obstacle {
	return []Obstacle{
		NotOwned{},
		NoFabric{},
		FewSupports{},
		NoSupports{},
		Overload{},
		Misses{},
		Nowhere{},
		InPicture{},
		OverSupports{},
		UnderHeadRoom{},
		OverHeightLimit{},
		NoFooting{},
		OutOfArms{},
		NotInWind{},
		OverPriceLimit{},
		Dearer{},
		MoreSupports{},
		Heavier{},
	}
}

// The codes of the reasons why a step has no overhead.

func (SunInPicture) Code() string { return "sun_in_picture" }
func (NoneTogether) Code() string { return "none_together" }
func (NoFrame) Code() string      { return "no_frame" }

func (SofteningOff) without()    {}
func (NothingToSoften) without() {}
func (SunInPicture) without()    {}
func (NoneTogether) without()    {}
func (NoFrame) without()         {}

// Withouts returns an empty reason of every kind, in the order of the documents.
func Withouts() []Without {
	return []Without{SofteningOff{}, NothingToSoften{}, SunInPicture{}, NoneTogether{}, NoFrame{}}
}
