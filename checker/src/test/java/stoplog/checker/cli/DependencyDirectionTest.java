package stoplog.checker.cli;

import static com.tngtech.archunit.lang.syntax.ArchRuleDefinition.classes;
import static com.tngtech.archunit.lang.syntax.ArchRuleDefinition.noClasses;
import static com.tngtech.archunit.library.dependencies.SlicesRuleDefinition.slices;

import com.tngtech.archunit.core.importer.ImportOption;
import com.tngtech.archunit.junit.AnalyzeClasses;
import com.tngtech.archunit.junit.ArchTest;
import com.tngtech.archunit.lang.ArchRule;

/** Dependencies point one way. */
@AnalyzeClasses(packages = "stoplog", importOptions = ImportOption.DoNotIncludeTests.class)
final class DependencyDirectionTest {
  private static final String[] ENGINE = {
    "stoplog.checker.pack..", "stoplog.checker.store..", "stoplog.checker.zone..",
    "stoplog.checker.explore..", "stoplog.checker.abstraction.."
  };

  @ArchTest
  static final ArchRule ONLY_THE_COMMAND_LINE_KNOWS_LANGUAGE_AND_ENGINE =
      noClasses()
          .that()
          .resideInAPackage("stoplog.checker..")
          .and()
          .resideOutsideOfPackage("stoplog.checker.cli..")
          .should()
          .dependOnClassesThat()
          .resideInAPackage("stoplog.dsl..");

  @ArchTest
  static final ArchRule NOTHING_KNOWS_THE_COMMAND_LINE =
      noClasses()
          .that()
          .resideOutsideOfPackage("stoplog.checker.cli..")
          .should()
          .dependOnClassesThat()
          .resideInAPackage("stoplog.checker.cli..");

  @ArchTest
  static final ArchRule LANGUAGE_DOES_NOT_KNOW_THE_CHECKER =
      noClasses()
          .that()
          .resideInAPackage("stoplog.dsl..")
          .should()
          .dependOnClassesThat()
          .resideInAPackage("stoplog.checker..");

  @ArchTest
  static final ArchRule SHARED_KNOWS_NOBODY =
      classes()
          .that()
          .resideInAnyPackage("stoplog.model..", "stoplog.source..", "stoplog.diag..")
          .should()
          .onlyDependOnClassesThat()
          .resideInAnyPackage(
              "stoplog.model..", "stoplog.source..", "stoplog.diag..", "java..",
              "org.jspecify.annotations");

  @ArchTest
  static final ArchRule JUDGES_SHARE_NOTHING_WITH_THE_SEARCH =
      noClasses()
          .that()
          .resideInAnyPackage("stoplog.checker.reference..", "stoplog.checker.certificate..")
          .should()
          .dependOnClassesThat()
          .resideInAnyPackage(ENGINE);

  @ArchTest
  static final ArchRule REPORTS_DO_NOT_KNOW_THE_SEARCH =
      noClasses()
          .that()
          .resideInAPackage("stoplog.checker.report..")
          .should()
          .dependOnClassesThat()
          .resideInAnyPackage(ENGINE);

  @ArchTest
  static final ArchRule PACKAGES_OF_THE_CHECKER_FORM_NO_CYCLE =
      slices().matching("stoplog.checker.(*)..").should().beFreeOfCycles();
}
