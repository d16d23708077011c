package stoplog.dsl;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNotNull;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Objects;
import org.junit.jupiter.api.Test;
import stoplog.model.Model;
import stoplog.model.ModelText;
import stoplog.model.Role;
import stoplog.source.SourceFile;

class PlantReaderTest {
  private static final Path SAMPLE = Path.of("src/test/corpus/accept/sample-plant");

  private static Model model(String text) {
    return Objects.requireNonNull(PlantReader.read(new SourceFile("x.plant", text)).model());
  }

  @Test
  void aDirectoryAndItsFileAreTheSamePlant() {
    Model file = PlantReader.read(SAMPLE.resolve("plant.plant")).model();
    assertNotNull(file);
    assertEquals(
        file.variables().size(),
        Objects.requireNonNull(PlantReader.read(SAMPLE).model()).variables().size());
  }

  @Test
  void lineEndsAndTabsMakeNoDifference() throws IOException {
    String text = Files.readString(SAMPLE.resolve("plant.plant"));
    String expected = ModelText.of(model(text));
    assertEquals(expected, ModelText.of(model(text.replace("\n", "\r\n"))));
    assertEquals(expected, ModelText.of(model(text.replace("\n", "\r"))));
    assertEquals(expected, ModelText.of(model(text.replace("  ", "\t\t"))));
    assertEquals(expected, ModelText.of(model("\uFEFF" + text)));
  }

  @Test
  void theOrderOfDeclarationsOutsideTheLogicMakesNoDifferenceToTheirMeaning() {
    String hazard = "hazard H-01 : c\n";
    String condition = "condition c holds when P-1 is turning\n";
    String pump = "pump P-1 by hand\n";
    assertEquals(
        ModelText.of(model("plant \"x\"\n" + pump + condition + hazard)),
        ModelText.of(model("plant \"x\"\n" + hazard + condition + pump)));
  }

  @Test
  void everyPartOfTheModelSaysWhereItComesFrom() throws IOException {
    Model model = model(Files.readString(SAMPLE.resolve("plant.plant")));
    model.variables().forEach(v -> assertNotNull(v.origin().file(), v.name()));
    model.changes().forEach(c -> assertNotNull(c.origin().file(), c.text()));
    model.clocks().forEach(c -> assertNotNull(c.origin().file(), c.name()));
    model.controller().program().forEach(a -> assertNotNull(a.origin().file()));
    model.claims().forEach(c -> assertEquals(true, c.origin().text().contains(c.id())));
  }

  @Test
  void everyRoleOfTheSamplePlantIsTheOneItsDeclarationGives() {
    Model model = Objects.requireNonNull(PlantReader.read(SAMPLE).model());
    assertEquals(Role.EQUIPMENT, model.variable("FV-101").role());
    assertEquals(Role.COMMAND, model.variable("FV-101.command").role());
    assertEquals(Role.PROCESS, model.variable("T-301.flow").role());
    assertEquals(Role.INSTRUMENT, model.variable("FS-202").role());
    assertEquals(Role.PANEL, model.variable("mode").role());
    assertEquals(Role.MEMORY, model.variable("P-201.trip1").role());
    assertEquals(Role.TIMER, model.variable("P-201.timer1").role());
    assertEquals(Role.MONITOR, model.variable("R-02.waiting").role());
  }
}
