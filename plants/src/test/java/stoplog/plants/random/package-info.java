/**
 * Small random plants, written in the plant language, on which every way to decide must agree.
 *
 * <p>A plant is drawn as a structure of records ({@link stoplog.plants.random.SmallPlant}) whose parts
 * name each other by number; {@link stoplog.plants.random.PlantWriter} turns the numbers into names of
 * what there is. So any part may be left out while a disagreement is made smaller, and what is shown in
 * the end is a plant text. Plants on which something once disagreed are kept in {@code
 * src/test/corpus/found} and decided again by {@link stoplog.plants.random.FoundPlantsTest}.
 */
@NullMarked
package stoplog.plants.random;

import org.jspecify.annotations.NullMarked;
