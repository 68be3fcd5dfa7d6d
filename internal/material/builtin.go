package material

// BuiltIn gives the ten alloys every shop starts with. Densities are in kg/m3 at about 20 °C. Nickel: by the nominal composition of the
// surface, as the names and numbers of the alloys in the source state it; that nickel sensitises skin is known (NIOSH, criteria for inorganic nickel,
// read in a copy). Tarnish: copper alloys dull before nickel and stainless steel; common practice, no source.
func BuiltIn() []Alloy {
	return []Alloy{
		{"music-wire", "music wire, high-carbon steel, plain or tinned", 7850, Strong, true, false, ASTMA228, No, Later,
			"ASTM A228 and EN 10270-1 spring-wire data, read in a copy"},
		// The mixture rule (PlatedDensity) gives 7945.93 for 8 % nickel of 8908 on low-carbon steel of 7872; the rounded
		// value is used, since the 8 % itself is no better known.
		{"nickel-plated-steel", "nickel-plated low-carbon steel, 8 % nickel by mass", 7946, Strong, false, true, "", Yes, Later,
			"mixture rule from AISI 1006 steel 7872 and nickel 8908; the 8 % is common practice, no source"},
		{"nickel", "nickel 200, UNS N02200", 8890, Weak, false, true, "", Yes, Later,
			"alloy data sheet for UNS N02200, from memory"},
		{"bronze-80-20", "80/20, UNS C24000, CuZn20 (metallurgically a brass)", 8660, None, false, true, "", No, Sooner,
			"mill data sheet for UNS C24000, read in a copy"},
		{"phosphor-bronze-8", "phosphor bronze, UNS C52100, CuSn8", 8800, None, false, true, "", No, Sooner,
			"mill data for UNS C52100 (ASTM B139), 0.318 lb/in3, read in a copy"},
		{"phosphor-bronze-5", "phosphor bronze, UNS C51000, CuSn5", 8860, None, false, true, "", No, Sooner,
			"mill data sheet for UNS C51000, read in a copy"},
		{"nickel-plated-bronze", "nickel-plated phosphor bronze, UNS C52100 base", 8800, Weak, false, true, "", Yes, Later,
			"as its base, UNS C52100; by the mixture rule nickel plating moves bronze by less than 0.1 %"},
		{"stainless-430", "ferritic stainless steel, UNS S43000", 7700, Strong, false, true, "", No, Later,
			"EN 10088-1, table of physical properties (1.4016), read in a copy"},
		{"monel-400", "nickel-copper alloy, UNS N04400", 8800, Varies, false, true, "", Yes, Later,
			"alloy data for UNS N04400, read in a copy; Curie point near room temperature"},
		{"copper", "annealed copper", 8890, None, false, true, "", No, Sooner,
			"IEC standard of 1913 as the Copper Development Association prints it, read in a copy"},
	}
}
